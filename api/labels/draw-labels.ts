// From chosen tags to drawn labels: the words are read, the symbol is planned, each label is laid out.
import { setImmediate } from 'node:timers/promises';
import type postgres from 'postgres';
import { type LabelChoices, type PlannedPrint, planPrint } from '#domain/label-print.ts';
import type { FieldFault } from '#domain/record.ts';
import type { TagCode } from '#domain/tag-code.ts';
import type { CodeRefusal } from '../codes/code-refusal.ts';
import { type LabelDrawing, layOutLabel } from './lay-out-label.ts';
import { parseTags, readContents } from './read-content.ts';

/** So many labels are laid out before others get their turn: a few milliseconds. */
const LABELS_AT_A_TIME = 50;

export interface DrawnLabels {
  readonly drawings: readonly LabelDrawing[];
  readonly planned: PlannedPrint;
}

function faultOf(choices: LabelChoices, places: number | null): FieldFault {
  if (places !== null)
    return {
      pointer: '/start',
      detail: `is past the last of the ${places} labels on a sheet; begin further up`,
    };
  const what = choices.symbol === null ? 'no symbol goes' : 'this symbol does not go';
  return {
    pointer: '/symbol',
    detail: `${what} on such a label at ${choices.dpi} dots an inch; leave it out to get the one that does`,
  };
}

function plan(choices: LabelChoices): PlannedPrint | { readonly refusal: CodeRefusal } {
  const planned = planPrint(choices);
  if (!('refusal' in planned)) return planned;
  const { refusal } = planned;
  const fields = [faultOf(choices, refusal.kind === 'no-such-place' ? refusal.places : null)];
  return { refusal: { kind: 'contradiction', fields } };
}

async function layOutAll(
  tx: postgres.ISql,
  tags: readonly TagCode[],
  choices: LabelChoices,
  planned: PlannedPrint,
): Promise<readonly LabelDrawing[]> {
  const { format, dpi } = planned;
  const whose = format.kind === 'sheet' && format.holeMm !== null;
  const contents = await readContents(tx, tags, { names: choices.names, contact: choices.contact, whose });
  const drawings: LabelDrawing[] = [];
  for (const content of contents) {
    drawings.push(layOutLabel(content, format, planned.plan, dpi));
    if (drawings.length % LABELS_AT_A_TIME === 0) await setImmediate();
  }
  return drawings;
}

/**
 * Draws the labels of these codes in their order. Refused, in this order: a code that is no tag of ours · a symbol that does
 * not go on the label · a place that the sheet does not have.
 */
export async function drawLabels(
  tx: postgres.ISql,
  codes: readonly string[],
  choices: LabelChoices,
): Promise<DrawnLabels | { readonly refusal: CodeRefusal }> {
  const read = parseTags(codes);
  if ('refusal' in read) return read;
  const planned = plan(choices);
  if ('refusal' in planned) return planned;
  return { drawings: await layOutAll(tx, read.tags, choices, planned), planned };
}
