-- Run headless after the lines of docs/editors/neovim.md: a file of the example shows its failing margin, and an edit makes it pass.
local function failing()
  for _, diagnostic in ipairs(vim.diagnostic.get(0)) do
    if diagnostic.message:find('THM-001 fails', 1, true) then return diagnostic end
  end
end

local function await(what, condition)
  if vim.wait(15000, condition, 50) then return end
  io.stdout:write('awaited ' .. what .. ', found ' .. vim.inspect(vim.diagnostic.get(0)) .. '\n')
  vim.cmd('cquit 1')
end

vim.cmd('edit thermal.gus')
await('the failing margin', failing)
local line = failing().lnum
if not vim.api.nvim_buf_get_lines(0, line, line + 1, false)[1]:find('check ultimate', 1, true) then
  io.stdout:write('the finding stands in line ' .. line + 1 .. ', which is no check\n')
  vim.cmd('cquit 1')
end
vim.cmd('%s/t = 3.7 mm/t = 4.1 mm/')
await('no failing margin', function() return not failing() end)
vim.cmd('quitall!')
