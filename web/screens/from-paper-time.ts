// As of when a sheet was ticked, from what was typed.
import { paperTime } from '#domain/from-paper.ts';
import { instantAt } from '#domain/local-time.ts';
import { showTime } from './words.ts';

/** The instant that was typed, or a sentence that says what to correct. */
export function paperTimeOf(text: string, zone: string, openedAt: number | null): number | string {
  const typed = instantAt(text, zone);
  if (typed === null) return 'Say as of when: a date and a time, on the clock there.';
  const time = paperTime(typed, { openedAt, now: Date.now() });
  if ('at' in time) return time.at;
  return time.refusal.kind === 'paper-from-the-future'
    ? 'This time has not come yet. Say when the sheet was ticked.'
    : `The count was opened ${showTime(time.refusal.openedAt, zone)}, and a sheet cannot answer before that.`;
}
