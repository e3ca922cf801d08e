#!/usr/bin/env node
// Stands where the desktop editor's executable would: hands its arguments to the waiting host and ends with the code
// that the tests ended with.
const answer = await fetch(`${process.env.GUSSET_EDITOR_HOST}/open`, {
  method: 'POST',
  body: JSON.stringify(process.argv.slice(2)),
});
process.exitCode = Number(await answer.text());
