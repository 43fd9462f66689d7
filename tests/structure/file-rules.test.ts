import { readdirSync, readFileSync, statSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { filesIn, readSourceTree, rooms, sourceTree } from './source-tree.js';
import {
  drawerNames,
  impureReads,
  machinePaths,
  outsideAddresses,
  outsideAddressesInPages,
  type TextFile,
  tooLong,
  topLevelFolders,
  worthALook,
} from './text-rules.js';

const root = process.cwd();
const isText = /\.(?:[cm]?[jt]s|tsx|css|html|md|json|csv|cpp|h|ino|toml)$/;
const read = (path: string): TextFile => ({ path, text: readFileSync(path, 'utf8') });
const paths = filesIn(root).filter((path) => isText.test(path) && statSync(path).size < 400_000);
const inRooms = paths.filter((path) => rooms.some((room) => path.startsWith(`${room}/`)));
const sources = inRooms.filter((path) => /\.(?:[cm]?[jt]s|tsx|css|cpp|h|ino)$/.test(path)).map(read);
const modules = readSourceTree(root);
const pure = modules.filter(({ path }) => /^(?:analysis|firmware-protocol|dashboard\/wording)\//.test(path));

describe('the checkout', () => {
  it('has the six folders and no other', () => {
    const folders = readdirSync(root, { withFileTypes: true })
      .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'))
      .map(({ name }) => name)
      .filter((name) => !['node_modules', 'dist', 'artefacts'].includes(name));
    expect(folders.sort()).toEqual([...topLevelFolders].sort());
  });

  it('has no file above 400 lines in the rooms', () => {
    expect(sources.length).toBeGreaterThan(100);
    for (const line of worthALook(sources)) console.warn(`worth a look: ${line}`);
    expect(tooLong(sources)).toEqual([]);
  });

  it('has no drawers', () => {
    expect(drawerNames(filesIn(root))).toEqual([]);
  });

  it('names no place on the machine it was made on', () => {
    expect(machinePaths(paths.map(read))).toEqual([]);
  });

  it('never reaches for an address elsewhere', () => {
    expect(outsideAddresses(modules)).toEqual([]);
    const pages = inRooms.filter((path) => /\.(?:html|css)$/.test(path));
    expect(pages.length).toBeGreaterThan(1);
    expect(outsideAddressesInPages(pages.map(read))).toEqual([]);
  });

  it('reads no clock and no random source where functions are pure', () => {
    expect(pure.length).toBeGreaterThan(30);
    expect(impureReads(pure)).toEqual([]);
  });
});

describe('the checks of files', () => {
  const file = (text: string): TextFile[] => [{ path: 'planted.ts', text }];
  const tree = (text: string) => sourceTree(new Map([['planted.ts', text]]));

  it('count lines', () => {
    expect(tooLong(file('line\n'.repeat(400)))).toEqual([]);
    expect(tooLong(file('line\n'.repeat(401)))).toEqual(['planted.ts: 401 lines, more than 400']);
    expect(worthALook(file('line\n'.repeat(301)))).toHaveLength(1);
  });

  it('know a drawer by its name, as file or folder', () => {
    const drawers = [
      'daq/utils.ts',
      'daq/helpers/a.ts',
      'analysis/common.ts',
      'a/misc.css',
      'a/port-manager.ts',
      'a/Utils.ts',
    ];
    expect(drawerNames([...drawers, 'daq/managed.ts', 'analysis/common-speeds.ts', 'a/miscount.ts'])).toEqual(
      drawers,
    );
  });

  it('know a path of a machine in code, comments and documents', () => {
    const inside = ['work', 'root'].map((folder) => ['', folder, 'me', 'a'].join('/'));
    for (const path of inside)
      for (const text of [`'${path}'`, `see ${path}`, path, `(${path})`])
        expect(machinePaths(file(text))).toHaveLength(1);
    expect(machinePaths(file(['..', 'shared', 'a'].join('/')))).toHaveLength(1);
    expect(machinePaths(file('daq/work/a and at/root/b, /dev/ttyACM0'))).toEqual([]);
  });

  it('know an address elsewhere in a text, and leave comments and this machine alone', () => {
    const elsewhere = [
      "fetch('https://example.org/a')",
      'fetch(`http://example.org/' + '$' + '{name}`)',
      'const a = <a href="https://example.org">b</a>',
    ];
    for (const text of elsewhere)
      expect(outsideAddresses(sourceTree(new Map([['planted.tsx', text]])))).toHaveLength(1);
    const here = [
      "'http://127.0.0.1:80'",
      '`http://' + '$' + '{host}`',
      "'http://www.w3.org/2000/svg'",
      '// https://example.org',
    ];
    for (const text of here) expect(outsideAddresses(tree(text))).toEqual([]);
    for (const text of [
      '<script src="//example.org/a.js">',
      'a { background: url(https://example.org/a.png) }',
      '@import "https://example.org/a.css";',
    ])
      expect(outsideAddressesInPages(file(text))).toHaveLength(1);
    expect(outsideAddressesInPages(file('<script src="/main.tsx">'))).toEqual([]);
  });

  it('know a clock and a random source, and not a property of that name', () => {
    const reads = [
      'Math.random()',
      'Date.now()',
      'new Date()',
      'performance.now()',
      'process.env.HOME',
      'setTimeout(run, 1)',
    ];
    for (const text of reads) expect(impureReads(tree(text))).toHaveLength(1);
    for (const text of [
      'options.fetch()',
      'const a = { process: 1 };',
      'interface A { performance: number }',
      'Math.max(1)',
    ])
      expect(impureReads(tree(text))).toEqual([]);
  });
});
