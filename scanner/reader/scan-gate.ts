// Decides which of the many reads of a camera are one scan: a code is believed, and it is told once while in view.
import { parseTag } from '#domain/tag-code.ts';
import { type CodeSeen, isMatrix } from '../worker/scan-format.ts';

const SAME_SCAN_MS = 2_000;
/** Two equal reads this far apart still confirm each other. */
const CONFIRM_MS = 1_000;

export interface ScanGate {
  /** Whether this read, at this monotonic time in ms, is a new scan. */
  readonly admit: (seen: CodeSeen, nowMs: number) => boolean;
}

/** Right check characters prove a read of ours; other lines of bars need a second, equal read. */
function provesItself({ text, format }: CodeSeen): boolean {
  return isMatrix(format) || (format === 'Code128' && 'tag' in parseTag(text));
}

export function createScanGate(): ScanGate {
  const lastSeen = new Map<string, number>();
  let waiting: { readonly key: string; readonly atMs: number } | null = null;
  const believe = (seen: CodeSeen, key: string, nowMs: number): boolean => {
    if (provesItself(seen)) return true;
    const confirmed = waiting !== null && waiting.key === key && nowMs - waiting.atMs <= CONFIRM_MS;
    waiting = confirmed ? null : { key, atMs: nowMs };
    return confirmed;
  };
  return {
    admit: (seen, nowMs) => {
      const key = `${seen.format} ${seen.text}`;
      const before = lastSeen.get(key);
      if (before !== undefined && nowMs - before <= SAME_SCAN_MS) {
        lastSeen.set(key, nowMs);
        return false;
      }
      if (!believe(seen, key, nowMs)) return false;
      for (const [other, atMs] of lastSeen) if (nowMs - atMs > SAME_SCAN_MS) lastSeen.delete(other);
      lastSeen.set(key, nowMs);
      return true;
    },
  };
}
