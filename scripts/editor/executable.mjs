#!/usr/bin/env node
// Stands where the desktop editor's executable would: hands its arguments to the waiting host and ends with the code
// that the tests ended with, however long they take; `fetch` gives up after five minutes.
import { request } from 'node:http';
import { text } from 'node:stream/consumers';

request(`${process.env.GUSSET_EDITOR_HOST}/open`, { method: 'POST' }, async answer => {
  process.exitCode = Number(await text(answer));
}).end(JSON.stringify(process.argv.slice(2)));
