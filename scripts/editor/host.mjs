// One run of an editor: a local address through which the tests report and reach the page, and the editor that runs
// them.
import { spawn, spawnSync } from 'node:child_process';
import { mkdirSync, openSync } from 'node:fs';
import { createServer } from 'node:http';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import { runTests } from '@vscode/test-electron';
import { chromium } from 'playwright-core';
import { root } from '../files.mjs';
import { pageOperations } from './page.mjs';
import { editorServer, launchBrowser, webEditor } from './tools.mjs';

const viewport = { width: 1440, height: 900 };
/** For a run that hangs; each test and each wait has its own. */
const limit = 60 * 60_000;
/** The editor's server asks no gallery of extensions for anything. */
const offline = { ...process.env, EXTENSIONS_GALLERY: '{}' };

/**
 * The address, and what arrives there: `report` for each result; what tests remember over a reload of the window; the
 * page once an editor shows one.
 */
export async function listen({ images, report }) {
  const memory = new Map();
  let operations;
  let open;
  let finish;
  const finished = new Promise(resolve => {
    finish = resolve;
  });
  const actions = {
    report: message => void report(message),
    finish: ({ code }) => void finish(code),
    remember: ({ name, value }) => void memory.set(name, value),
    recall: ({ name }) => memory.get(name) ?? null,
    ...Object.fromEntries(Object.keys(pageOperations()).map(name => [name, message => operations[name](message)])),
  };
  const server = createServer(async (request, response) => {
    const headers = { 'access-control-allow-origin': '*', 'access-control-allow-headers': '*' };
    const chunks = [];
    for await (const chunk of request) chunks.push(chunk);
    const body = chunks.length > 0 ? JSON.parse(Buffer.concat(chunks).toString()) : {};
    if (request.url === '/open') {
      response.writeHead(200).flushHeaders();
      response.end(String(await open(body)));
      return;
    }
    const action = actions[request.url.slice(1)];
    const outcome =
      request.method === 'OPTIONS'
        ? {}
        : await Promise.resolve()
            .then(() => action(body))
            .then(
              value => ({ value }),
              error => ({ error: error.message }),
            );
    response.writeHead(200, headers).end(JSON.stringify(outcome));
  });
  await new Promise(resolve => server.listen(0, '127.0.0.1', resolve));
  return {
    address: `http://127.0.0.1:${server.address().port}`,
    finished,
    finish,
    /** The end of a window that left something to remember is not the end: it is loaded anew. */
    windowEnded: code => {
      if (memory.size === 0) finish(code);
    },
    /** Answers the executable that stands in for the desktop editor. */
    onOpen: action => {
      open = action;
    },
    show: page => {
      operations = pageOperations(page, images);
    },
    close: () => {
      server.close();
      server.closeAllConnections();
    },
  };
}

/** The extension as the editor's server installs it from the package. */
export function installPackage(file, folder) {
  const install = spawnSync(
    process.execPath,
    [
      editorServer(),
      '--install-extension',
      file,
      '--extensions-dir',
      join(folder, 'extensions'),
      '--server-data-dir',
      join(folder, 'data'),
      '--accept-server-license-terms',
    ],
    { encoding: 'utf8', env: offline },
  );
  if (install.status !== 0) throw new Error(`The package can't be installed.\n${install.stdout}${install.stderr}`);
  return join(folder, 'extensions');
}

/**
 * The editor's Node extension host. A desktop editor where `GUSSET_VSCODE` names its executable; else the editor's
 * server, whose workbench
 * is a page in Chromium. Both are started by the same runner.
 */
export async function runOnNode(listener, { extension, tests, workspace, data, trusted, log }) {
  const desktop = process.env.GUSSET_VSCODE;
  listener.onOpen(args => openServer(listener, { args, data, trusted, log }));
  const debugPort = 9229;
  if (desktop) void attachToDesktop(listener, debugPort);
  await runTests({
    vscodeExecutablePath: resolve(root, desktop ?? 'scripts/editor/executable.mjs'),
    extensionDevelopmentPath: extension,
    extensionTestsPath: tests,
    extensionTestsEnv: { GUSSET_EDITOR_HOST: listener.address },
    launchArgs: [
      workspace,
      ...(trusted ? ['--disable-workspace-trust'] : []),
      ...(desktop
        ? [
            `--remote-debugging-port=${debugPort}`,
            `--user-data-dir=${data}`,
            `--extensions-dir=${join(data, 'extensions')}`,
          ]
        : []),
    ],
  }).catch(error => listener.finish(error.message));
}

async function attachToDesktop(listener, port) {
  for (;;) {
    const browser = await chromium.connectOverCDP(`http://127.0.0.1:${port}`).catch(() => undefined);
    const page = browser?.contexts()[0]?.pages()[0];
    if (page) return listener.show(page);
    await new Promise(resolve => setTimeout(resolve, 200));
  }
}

/**
 * Starts the editor's server as the arguments of the desktop editor ask, and opens its workbench. Resolves to the exit
 * code.
 */
async function openServer(listener, { args, data, trusted, log }) {
  const option = name => args.find(argument => argument.startsWith(`--${name}=`))?.slice(name.length + 3);
  const folder = args.find(argument => !argument.startsWith('-'));
  mkdirSync(data, { recursive: true });
  const port = await freePort();
  const server = spawn(
    process.execPath,
    [
      editorServer(),
      '--host',
      '127.0.0.1',
      '--port',
      String(port),
      '--without-connection-token',
      '--accept-server-license-terms',
      '--server-data-dir',
      data,
      '--enable-smoke-test-driver',
      '--telemetry-level',
      'off',
      ...(trusted ? ['--disable-workspace-trust'] : []),
    ],
    { stdio: ['ignore', 'pipe', openSync(log, 'w')], env: offline },
  );
  await new Promise((ready, fail) => {
    server.stdout.on('data', text => String(text).includes('Extension host agent listening') && ready());
    server.once('exit', code => fail(new Error(`The editor's server ended with ${code}.`)));
  });
  const remote = path => `vscode-remote://127.0.0.1:${port}${path}`;
  const payload = [
    ['extensionDevelopmentPath', remote(option('extensionDevelopmentPath'))],
    ['extensionTestsPath', remote(option('extensionTestsPath'))],
    ['skipWelcome', 'true'],
  ];
  try {
    return await showUntilFinished(
      listener,
      `http://127.0.0.1:${port}/?${folder.endsWith('.code-workspace') ? 'workspace' : 'folder'}=${encodeURIComponent(folder)}&payload=${encodeURIComponent(JSON.stringify(payload))}`,
    );
  } finally {
    server.kill();
  }
}

/** The editor without a server: extensions are web workers of the page. */
export async function runInBrowser(listener, { extension, tests, workspace }) {
  const { module, build } = webEditor();
  const { open } = createRequire(import.meta.url)(module);
  const port = await freePort();
  const server = await open({
    browserType: 'none',
    ...build,
    host: 'localhost',
    port,
    extensionDevelopmentPath: extension,
    extensionTestsPath: tests,
    folderPath: workspace,
  });
  try {
    await showUntilFinished(listener, `http://localhost:${port}`);
  } finally {
    server.dispose();
  }
}

async function showUntilFinished(listener, address) {
  const browser = await launchBrowser();
  try {
    const page = await browser.newPage({ viewport });
    // Nothing outside this machine is reached.
    await page.route(
      url => !/^(localhost|127\.0\.0\.1|.*\.localhost)$/.test(url.hostname),
      route => route.abort(),
    );
    await page.exposeFunction('codeAutomationLog', () => undefined);
    await page.exposeFunction('codeAutomationExit', code => listener.windowEnded(code));
    if (process.env.GUSSET_EDITOR_LOG) page.on('console', message => console.log(`       ${message.text()}`));
    listener.show(page);
    await page.goto(address);
    const timer = setTimeout(() => listener.finish(`no end after ${limit / 1000} s`), limit);
    const code = await listener.finished;
    clearTimeout(timer);
    return code === 0 ? 0 : 1;
  } finally {
    await browser.close();
  }
}

function freePort() {
  return new Promise(resolve => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}
