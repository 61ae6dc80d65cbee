// The sheet as it will be printed, drawn by the service. A click on a label's place begins there.
import { useEffect, useState } from 'react';
import { cellOf, findFormat, labelsPerPage, pageOf } from '#domain/label-format.ts';
import type { LabelChoices } from '#domain/label-print.ts';
import type { Refused } from '../data/ask.ts';
import { askSheetPicture, sheetBody } from '../data/labels.ts';
import { Button } from '../look/button.tsx';
import { RefusedNotice } from './parts.tsx';
import { showNumber } from './words.ts';

// While somebody types a number or clicks about, only the last is drawn.
const WAIT_MS = 200;

type Picture = { readonly url: string } | Refused | null;

/** The picture of one page, drawn anew when anything about it changes; the old one stays until then. */
function usePicture(codes: readonly string[], choices: LabelChoices): Picture {
  const [picture, setPicture] = useState<Picture>(null);
  // Compared as text: the lists are new ones each time the screen is drawn.
  const asked = sheetBody(codes, choices);
  useEffect(() => {
    const stop = new AbortController();
    let url: string | null = null;
    const draw = async () => {
      const answer = await askSheetPicture(asked, stop.signal);
      if (stop.signal.aborted) return;
      url = answer.ok ? URL.createObjectURL(answer.body) : null;
      setPicture(answer.ok ? { url: url ?? '' } : answer);
    };
    const timer = setTimeout(() => {
      draw().catch((error: unknown) => {
        if (!stop.signal.aborted) throw error;
      });
    }, WAIT_MS);
    return () => {
      clearTimeout(timer);
      stop.abort();
      // The next picture takes its place first.
      const old = url;
      if (old !== null) setTimeout(() => URL.revokeObjectURL(old), 5_000);
    };
  }, [asked]);
  return picture;
}

interface SheetProps {
  readonly codes: readonly string[];
  readonly choices: LabelChoices;
  readonly onStart: (start: number) => void;
}

function Places({ choices, onStart }: Omit<SheetProps, 'codes'>) {
  const format = findFormat(choices.format);
  if (format === null || format.kind === 'roll') return null;
  const page = pageOf(format);
  const share = (mm: number, of: number) => `${(mm / of) * 100}%`;
  return (
    // By keyboard the place is typed above; here it is pointed at.
    <div className="sheet-places" aria-hidden="true">
      {Array.from({ length: labelsPerPage(format) }, (_, at) => {
        const { xMm, yMm } = cellOf(format, at, 1);
        const [left, top] = [share(xMm, page.widthMm), share(yMm, page.heightMm)];
        const [width, height] = [share(format.widthMm, page.widthMm), share(format.heightMm, page.heightMm)];
        return (
          <button
            key={`${left} ${top}`}
            type="button"
            tabIndex={-1}
            className={at + 1 < choices.start ? 'sheet-place used' : 'sheet-place'}
            style={{ left, top, width, height }}
            onClick={() => onStart(at + 1)}
          />
        );
      })}
    </div>
  );
}

export function LabelSheet({ codes, choices, onStart }: SheetProps) {
  const [wanted, setWanted] = useState(0);
  const format = findFormat(choices.format);
  const isRoll = format?.kind === 'roll';
  const places = format === null ? 1 : labelsPerPage(format);
  const pages = Math.max(1, Math.ceil((codes.length + (isRoll ? 0 : choices.start - 1)) / places));
  const page = Math.min(wanted, pages - 1);
  // Only what lies on this page is asked for.
  const begun = isRoll ? 0 : choices.start - 1;
  const first = Math.max(0, page * places - begun);
  const shown = codes.slice(first, (page + 1) * places - begun);
  const picture = usePicture(shown, { ...choices, start: page === 0 ? choices.start : 1 });
  if (picture !== null && !('url' in picture)) return <RefusedNotice refused={picture} />;
  const size = format === null ? null : pageOf(format);
  return (
    <figure className={isRoll ? 'sheet roll' : 'sheet'}>
      <div className="sheet-paper" style={size ? { aspectRatio: `${size.widthMm} / ${size.heightMm}` } : {}}>
        {picture === null ? (
          <p className="waiting">Drawing …</p>
        ) : (
          <img src={picture.url} alt={`Page ${page + 1} of ${pages} as it will be printed`} />
        )}
        {page === 0 ? <Places choices={choices} onStart={onStart} /> : null}
      </div>
      {pages > 1 ? (
        <figcaption className="sheet-pages">
          <Button disabled={page === 0} onClick={() => setWanted(page - 1)}>
            Before
          </Button>
          <span className="number">
            {showNumber(page + 1)} of {showNumber(pages)}
          </span>
          <Button disabled={page === pages - 1} onClick={() => setWanted(page + 1)}>
            Next
          </Button>
        </figcaption>
      ) : null}
    </figure>
  );
}
