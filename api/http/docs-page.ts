// The API as a page to read, made from the routes themselves. Plain HTML with one style sheet: it needs no network.
import { z } from 'zod';
import { PROBLEMS } from './problem.ts';
import type { Route } from './route.ts';

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
const escapeHtml = (text: string) => text.replace(/[&<>"]/g, (sign) => ENTITIES[sign] ?? sign);

function schemaBlock(title: string, schema: z.ZodType, io: 'input' | 'output'): string {
  const json = JSON.stringify(z.toJSONSchema(schema, { io, unrepresentable: 'any' }), null, 1);
  if (json === '{}' || json.length < 120) return '';
  return `<details><summary>${title}</summary><pre tabindex="0">${escapeHtml(json)}</pre></details>`;
}

const anchorOf = (route: Route) => `${route.method}-${route.path.replace(/\W+/g, '-')}`;

function routeSection(route: Route): string {
  const head = `<h3 id="${anchorOf(route)}"><span class="method">${route.method.toUpperCase()}</span> <code>${escapeHtml(route.path)}</code></h3>`;
  const answers = Object.entries(route.answers).map(([status, schema]) =>
    schemaBlock(`answers ${status}`, schema, 'output'),
  );
  return [
    `<section>${head}<p>${escapeHtml(route.summary)}${route.edits ? ' Needs If-Match.' : ''}</p>`,
    schemaBlock('query', route.query, 'input'),
    route.body && route.bytesMax === undefined ? schemaBlock('body', route.body, 'input') : '',
    ...answers,
    '</section>',
  ].join('');
}

function contents(routes: readonly Route[]): string {
  const rows = routes.map(
    (route) =>
      `<li><a href="#${anchorOf(route)}">${route.method.toUpperCase()} ${escapeHtml(route.path)}</a> ${escapeHtml(route.summary)}</li>`,
  );
  return `<nav aria-label="Addresses"><ul>${rows.join('')}</ul></nav>`;
}

function problems(): string {
  const rows = Object.entries(PROBLEMS).map(
    ([kind, row]) =>
      `<tr><th scope="row"><code>/problems/${kind}</code></th><td>${row.status}</td><td>${escapeHtml(row.title)}</td></tr>`,
  );
  return `<h2 id="problems">Problems</h2><table><tbody>${rows.join('')}</tbody></table>`;
}

/** The page. */
export function docsPageOf(routes: readonly Route[]): string {
  const tags = [...new Set(routes.map((route) => route.tag))];
  const sections = tags.map((tag) => {
    const own = routes.filter((route) => route.tag === tag);
    return `<h2>${escapeHtml(tag)}</h2>${own.map(routeSection).join('')}`;
  });
  return `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Tailcount: the API</title><link rel="stylesheet" href="/api/docs/style.css"></head><body><main>
<h1>The API</h1><p>The same as a document for programs: <a href="/api/openapi.json">OpenAPI 3.1</a>. Every refusal is
an RFC 9457 problem; the table is <a href="#problems">below</a>.</p>${contents(routes)}${sections.join('')}${problems()}</main></body></html>`;
}

export const DOCS_STYLE = `:root{color-scheme:light dark}
body{font:16px/1.5 system-ui,sans-serif;margin:0;background:light-dark(#fff,#15140f);color:light-dark(#1c1a14,#efece2)}
main{max-width:60rem;margin:0 auto;padding:1.5rem}
h1,h2{border-bottom:1px solid currentColor}
h3{margin:2rem 0 0;font-size:1rem}
.method{font-weight:700}
a{color:light-dark(#7a3d00,#ffb45c)}
pre{overflow:auto;max-height:30rem;border:1px solid;padding:.75rem;font-size:.8rem}
table{border-collapse:collapse}th,td{text-align:left;vertical-align:top;padding:.25rem 1rem .25rem 0;border-bottom:1px solid}
nav ul{columns:2 22rem;padding-left:1rem}`;
