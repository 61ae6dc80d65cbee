// How many matters are open, beside the name of their screen: nothing while there is none.
import './to-look-at-mark.css';
import { useEffect, useRef, useState } from 'react';
import { matterSumsSchema } from '#domain/matter.ts';
import { ask } from '../data/ask.ts';
import { useChangeNumber } from '../data/changes.ts';

// While phones scan, something changes many times a second; nobody looks at this number so often.
const EVERY_MS = 10_000;

function useOpenMatters(): number {
  const change = useChangeNumber();
  const [open, setOpen] = useState(0);
  const askedAt = useRef(Number.NEGATIVE_INFINITY);
  const askedAfter = useRef(-1);
  useEffect(() => {
    if (askedAfter.current === change) return;
    const wait = Math.max(0, askedAt.current + EVERY_MS - performance.now());
    const timer = setTimeout(() => {
      askedAt.current = performance.now();
      askedAfter.current = change;
      void ask('/api/matters/sums', matterSumsSchema).then((answer) => {
        if (answer.ok) setOpen(answer.body.open);
      });
    }, wait);
    return () => clearTimeout(timer);
  }, [change]);
  return open;
}

export function MatterMark() {
  const open = useOpenMatters();
  if (open === 0) return null;
  return (
    <span className="frame-mark">
      {' '}
      {open}
      <span className="unseen"> open</span>
    </span>
  );
}
