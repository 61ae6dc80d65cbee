// Choosing, seeing and printing labels: the same panel for a block of tags, one thing, and things picked from the list.
import './labels.css';
import { useEffect, useState } from 'react';
import { findFormat, labelsPerPage } from '#domain/label-format.ts';
import { LABELS_PER_PRINT_MAX, type LabelChoices, planPrint } from '#domain/label-print.ts';
import type { Asked, Refused } from '../data/ask.ts';
import { calibrationPath, keepChoices, makeSheetPdf, readChoices, singleLabelPath } from '../data/labels.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Notice } from '../look/notice.tsx';
import { LabelChoicesForm } from './label-choices.tsx';
import { LabelSheet } from './label-sheet.tsx';
import { showLabels, showSheets } from './label-words.ts';
import { RefusedNotice } from './parts.tsx';
import { showNumber } from './words.ts';

export function useLabelChoices() {
  const [choices, setChoices] = useState(readChoices);
  const change = (part: Partial<LabelChoices>) =>
    setChoices((before) => {
      const next = { ...before, ...part };
      keepChoices(next);
      return next;
    });
  return { choices, change };
}

interface Made {
  readonly url: string;
  readonly labels: number;
  readonly sheets: number;
  /** The first place that is still free on the last sheet; 1: none is begun. */
  readonly next: number;
}

interface PrintProps {
  /** In the order of the sheet. Those without a tag yet are not among them. */
  readonly codes: readonly string[];
  /** So many more that get their tags when the PDF is made. */
  readonly bare?: number;
  /** The codes to print, after the bare ones have got theirs. */
  readonly onTag?: () => Promise<Asked<readonly string[]>>;
}

function ReadyNotice({ made, onNext }: { readonly made: Made; readonly onNext: (start: number) => void }) {
  return (
    <Notice kind="news" title={`${showLabels(made.labels)} are ready`}>
      <p className="row-ways">
        <a className="button main" href={made.url} target="_blank" rel="noreferrer">
          Open the PDF to print
        </a>
        <a className="button" href={made.url} download="labels.pdf">
          Save it
        </a>
      </p>
      <p>Print it at 100 %, unscaled. Scan one with the phone before you print them all.</p>
      {made.next > 1 ? (
        <Button onClick={() => onNext(made.next)}>Begin at label {showNumber(made.next)} next time</Button>
      ) : null}
    </Notice>
  );
}

/** The PDF of what is chosen now; gone as soon as anything else is chosen. */
function usePdf(props: PrintProps, choices: LabelChoices) {
  const { codes, bare = 0, onTag } = props;
  const [made, setMade] = useState<Made | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  const about = JSON.stringify([choices, codes]);
  const [madeOf, setMadeOf] = useState('');
  useEffect(() => () => (made === null ? undefined : URL.revokeObjectURL(made.url)), [made]);
  const finish = (answer: Asked<Blob>, number: number, of: string) => {
    if (!answer.ok) return setRefused(answer);
    const format = findFormat(choices.format);
    const places = format === null ? 1 : labelsPerPage(format);
    const used = choices.start - 1 + number;
    const url = URL.createObjectURL(answer.body);
    setMade({ url, labels: number, sheets: Math.ceil(used / places), next: (used % places) + 1 });
    setMadeOf(of);
  };
  const make = async () => {
    setBusy(true);
    setRefused(null);
    const tagged = bare > 0 && onTag ? await onTag() : null;
    if (tagged !== null && !tagged.ok) setRefused(tagged);
    else {
      const all = tagged?.body ?? codes;
      finish(await makeSheetPdf(all, choices), all.length, JSON.stringify([choices, all]));
    }
    setBusy(false);
  };
  return { made: madeOf === about ? made : null, refused, busy, make };
}

function StartField({
  choices,
  onStart,
}: {
  readonly choices: LabelChoices;
  readonly onStart: (n: number) => void;
}) {
  const { start: begun } = choices;
  const [text, setText] = useState(String(begun));
  // A place was pointed at, or another format has fewer.
  useEffect(() => setText((typed) => (Number(typed) === begun ? typed : String(begun))), [begun]);
  const format = findFormat(choices.format);
  if (format === null || format.kind === 'roll') return null;
  const places = labelsPerPage(format);
  return (
    <Field
      label={`Begin at label, 1 to ${places}`}
      type="number"
      min={1}
      max={places}
      value={text}
      hint="Half a sheet is left? Click its first free label below."
      onChange={(event) => {
        setText(event.target.value);
        const start = event.target.valueAsNumber;
        if (Number.isInteger(start) && start >= 1 && start <= places) onStart(start);
      }}
    />
  );
}

function SingleWays({ code, choices }: { readonly code: string; readonly choices: LabelChoices }) {
  return (
    <p className="small">
      This label by itself, for a label printer’s own program:{' '}
      <a href={singleLabelPath(code, 'png', choices)} download={`${code}.png`}>
        PNG
      </a>{' '}
      or{' '}
      <a href={singleLabelPath(code, 'svg', choices)} download={`${code}.svg`}>
        SVG
      </a>
    </p>
  );
}

export function LabelPrint(props: PrintProps) {
  const { codes, bare = 0 } = props;
  const { choices, change } = useLabelChoices();
  const { made, refused, busy, make } = usePdf(props, choices);
  const planned = planPrint(choices);
  const total = codes.length + bare;
  const format = findFormat(choices.format);
  const used = total + choices.start - 1;
  const sheets = format === null ? 1 : Math.ceil(used / labelsPerPage(format));
  const onStart = (start: number) => change({ start });
  const [only] = codes;
  const words = `${showLabels(total)} ${showSheets(sheets, format?.kind === 'roll')}`;
  const action = bare > 0 ? `Give ${showNumber(bare)} a tag and make the PDF` : 'Make the PDF';
  const isTooMany = total > LABELS_PER_PRINT_MAX;
  return (
    <section className="label-print" aria-label="Print">
      <LabelChoicesForm choices={choices} onChange={change} />
      <StartField choices={choices} onStart={onStart} />
      {refused ? <RefusedNotice refused={refused} /> : null}
      {made ? <ReadyNotice made={made} onNext={onStart} /> : null}
      <p className="row-ways">
        <Button
          kind={made ? 'plain' : 'main'}
          disabled={busy || total === 0 || isTooMany || 'refusal' in planned}
          onClick={() => void make()}
        >
          {busy ? 'Drawing them …' : action}
        </Button>
        <span role="status">{total === 0 ? 'Nothing is chosen yet.' : words}</span>
      </p>
      {isTooMany ? <p>Print them in parts of {showNumber(LABELS_PER_PRINT_MAX)} at most.</p> : null}
      {only !== undefined && total === 1 ? <SingleWays code={only} choices={choices} /> : null}
      <p className="small">
        Before the first sheet:{' '}
        <a href={calibrationPath(choices)} target="_blank" rel="noreferrer">
          a page that shows whether your printer keeps the true size
        </a>
      </p>
      {codes.length > 0 && !isTooMany && !('refusal' in planned) ? (
        <LabelSheet codes={codes} choices={choices} onStart={onStart} />
      ) : null}
    </section>
  );
}
