// Reads the repository itself: what a reviewer would have to look for in every change.
import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { PROBLEMS } from '../api/http/problem.ts';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const read = (path: string): string => readFileSync(join(ROOT, path), 'utf8');
const NOT_OURS: ReadonlySet<string> = new Set([
  'node_modules',
  'dist',
  'generated',
  '.git',
  'data',
  'pictures',
]);

/** Everything below a folder that a person wrote. */
function filesBelow(folder: string): readonly string[] {
  return readdirSync(join(ROOT, folder), { withFileTypes: true }).flatMap((entry) => {
    if (NOT_OURS.has(entry.name)) return [];
    const path = join(folder, entry.name);
    return entry.isDirectory() ? filesBelow(path) : [path];
  });
}

const FILES = ['api', 'prisma', 'scanner', 'tests', 'web'].flatMap(filesBelow);
const CODE = FILES.filter((path) => /\.(ts|tsx|mjs)$/.test(path));
const SOURCES = CODE.filter((path) => !path.startsWith('tests'));
const THIS = join('tests', 'tidy.test.ts');
const TESTS = CODE.filter((path) => path.startsWith('tests') && path !== THIS);

/** The lines of these files that match, as "path: line". */
function linesWith(paths: readonly string[], pattern: RegExp): readonly string[] {
  return paths.flatMap((path) =>
    read(path)
      .split('\n')
      .filter((line) => pattern.test(line))
      .map((line) => `${path}: ${line.trim()}`),
  );
}

/** Strings and comments of a line taken away, so that words in them are not taken for code. */
const codeOf = (line: string): string => line.replace(/'[^']*'|"[^"]*"|`[^`]*`|\/\/.*|\/?\*+.*/g, '');

describe('names and sizes', () => {
  test('only what belongs there is at the top', () => {
    const belongs = new Set([
      ...['.ci', '.dockerignore', '.gitignore', '.npmrc', 'DEVELOPERS.md', 'README.md', 'api', 'biome.json'],
      ...['docker-compose.yml', 'package-lock.json', 'package.json', 'prisma', 'scanner', 'tests'],
      ...['tsconfig.json', 'web', '.git', 'node_modules', 'data', 'dist'],
    ]);
    expect(readdirSync(ROOT).filter((name) => !belongs.has(name))).toEqual([]);
  });

  test('no file only passes others on, and no name says nothing of what is in it', () => {
    const says = (name: string) => name.replace(/\.(test\.)?\w+$/, '');
    const empty = new Set(['utils', 'util', 'helpers', 'helper', 'common', 'misc', 'types', 'shared']);
    const named = CODE.filter((path) => {
      const names = [basename(path), ...dirname(path).split(/[\\/]/)];
      return basename(path).startsWith('index.') || names.some((name) => empty.has(says(name)));
    });
    expect(named).toEqual([]);
    expect(linesWith(SOURCES, /^export \* from/)).toEqual([]);
  });

  test('names of files are in kebab-case', () => {
    expect(CODE.filter((path) => !/^[a-z0-9]+(-[a-z0-9]+)*(\.[a-z0-9]+)+$/.test(basename(path)))).toEqual([]);
  });

  test('no source is longer than 400 lines', () => {
    const LINES_MAX = 400;
    const long = SOURCES.filter((path) => read(path).trimEnd().split('\n').length > LINES_MAX);
    expect(long).toEqual([]);
  });
});

describe('what must not be in the code', () => {
  test('every test runs', () => {
    const left = /\b(test|it|describe)\s*\.\s*(skip|only|todo|fails|skipIf|runIf)\b|\b[xf](it|describe)\(/;
    expect(linesWith(TESTS, left)).toEqual([]);
  });

  test('no type is any, and no error of the compiler is silenced', () => {
    expect(
      linesWith(
        CODE.filter((path) => path !== THIS),
        /@ts-(ignore|nocheck|expect-error)/,
      ),
    ).toEqual([]);
    const typed = SOURCES.flatMap((path) =>
      read(path)
        .split('\n')
        .filter((line) => /(:|<|\bas|\|)\s*any\b(?!\()/.test(codeOf(line)))
        .map((line) => `${path}: ${line.trim()}`),
    );
    expect(typed).toEqual([]);
  });

  test('lint is not switched off, but for one rule on one line with its reason', () => {
    const silenced = linesWith(SOURCES, /biome-ignore|eslint-disable/);
    const reasoned = /biome-ignore lint\/[a-z0-9]+\/[A-Za-z]+: \S.{20,}\.$/;
    expect(silenced.filter((line) => !reasoned.test(line))).toEqual([]);
    // Few enough to be read by everybody who adds one.
    expect(silenced.length).toBeLessThanOrEqual(5);
  });
});

describe('documents and packages', () => {
  test('the table of problems in DEVELOPERS.md is the one of the code', () => {
    const section =
      read('DEVELOPERS.md')
        .split(/^## Problems$/m)[1]
        ?.split(/^## /m)[0] ?? '';
    const rows = [...section.matchAll(/^\| `([a-z-]+)` \| (\d{3}) \|/gm)].map((row) => [
      row[1],
      Number(row[2]),
    ]);
    expect(rows).toEqual(Object.entries(PROBLEMS).map(([kind, { status }]) => [kind, status]));
  });

  test('the lock file names no place that packages were fetched from', () => {
    const lock = read('package-lock.json');
    expect(lock).not.toContain('"resolved"');
    const { packages } = JSON.parse(lock);
    expect(JSON.stringify(Object.keys(packages))).not.toMatch(/https?:/);
    const hosts = [...lock.matchAll(/^ *"(?!url"|integrity"|license")[^"]+": "(?:[a-z+]+:)?\/\/([^/"]+)/gm)];
    expect(hosts.map((host) => host[1])).toEqual([]);
  });

  test('every package that is asked for is used', () => {
    const { dependencies, devDependencies, scripts } = JSON.parse(read('package.json'));
    // Types come with the package they describe; tools are called by the scripts.
    const tools = new Map([
      ['@biomejs/biome', 'biome '],
      ['typescript', 'tsc '],
    ]);
    const isTool = (name: string) => JSON.stringify(scripts).includes(tools.get(name) ?? `\0${name}`);
    const names = Object.keys({ ...dependencies, ...devDependencies }).filter(
      (name) => !name.startsWith('@types/') && !isTool(name),
    );
    const client = join('prisma', 'generated');
    const made = existsSync(join(ROOT, client)) ? readdirSync(join(ROOT, client)) : [];
    const code = [
      ...CODE.filter((path) => path !== THIS),
      ...made.filter((name) => name.endsWith('.ts')).map((name) => join(client, name)),
    ]
      .map(read)
      .join('\n');
    const unused = names.filter(
      (name) => !new RegExp(`['"]${name.replaceAll('.', '\\.')}(/[^'"]*)?['"]`).test(code),
    );
    expect(unused).toEqual([]);
  });

  test('nothing that is kept names a folder of the machine it was written on', () => {
    const kept = execFileSync('git', ['ls-files', '-z'], { cwd: ROOT, encoding: 'utf8' });
    const text = kept
      .split('\0')
      .filter((path) => /\.(ts|tsx|mjs|md|json|yml|css|html)$/.test(path) && path !== THIS);
    expect(
      linesWith(
        text.filter((path) => existsSync(join(ROOT, path))),
        /\/(home|Users|work|root)\/\w/,
      ),
    ).toEqual([]);
  });
});
