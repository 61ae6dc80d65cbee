// Editing a selection: what to change, what that will do to each, then doing it, and putting it back while the page is
// open. Any list can offer it: it takes the things and says when it is done.
import './bulk.css';
import { useEffect, useId, useRef, useState } from 'react';
import type { Refused } from '../data/ask.ts';
import {
  type DoneEdit,
  type DoneLine,
  doEdit,
  type ManyEdit,
  previewEdit,
  type ToEdit,
} from '../data/thing-edits.ts';
import { Button } from '../look/button.tsx';
import { UndoBar } from '../look/undo-bar.tsx';
import { type Draft, readDraft } from './bulk-draft.ts';
import { BulkFields } from './bulk-fields.tsx';
import { BulkLines } from './bulk-lines.tsx';
import { RefusedNotice, useOutfit } from './parts.tsx';
import { showNumber } from './words.ts';

interface BulkEditProps {
  readonly things: readonly ToEdit[];
  /** Back to the list; `done` when something was changed, so that the selection is of old versions. */
  readonly onClose: (done: boolean) => void;
}
type Step =
  | { readonly is: 'choosing'; readonly trouble: Refused | string | null }
  | { readonly is: 'shown'; readonly edit: ManyEdit; readonly lines: readonly DoneLine[] }
  | {
      readonly is: 'done';
      readonly done: DoneEdit;
      readonly isBack: boolean;
      readonly trouble: Refused | null;
    };

const doesChange = ({ does, clearsFaulty }: DoneLine) => does === 'changes' || clearsFaulty;

/** "12 change, 3 are so already, 1 is left out" */
function saySums(lines: readonly DoneLine[], isDone: boolean): string {
  const changed = lines.filter(doesChange).length;
  const leftOut = lines.filter(({ does }) => does === 'left-out').length;
  const stay = lines.length - changed - leftOut;
  const verb = isDone ? 'changed' : changed === 1 ? 'changes' : 'change';
  return [
    `${showNumber(changed)} ${verb}`,
    stay === 0 ? '' : `${showNumber(stay)} ${stay === 1 ? 'is' : 'are'} so already`,
    leftOut === 0 ? '' : `${showNumber(leftOut)} ${leftOut === 1 ? 'is' : 'are'} left out`,
  ]
    .filter(Boolean)
    .join(', ');
}

const things = (count: number) => (count === 1 ? '1 thing' : `${showNumber(count)} things`);
const today = (zone: string) => new Intl.DateTimeFormat('sv-SE', { timeZone: zone }).format();

function Trouble({ trouble }: { readonly trouble: Refused | string | null }) {
  if (trouble === null) return null;
  const refused = typeof trouble === 'string' ? null : trouble;
  return refused === null ? (
    <p className="field-error" role="alert">
      {String(trouble)}
    </p>
  ) : (
    <RefusedNotice refused={refused} />
  );
}

function DoneStep({
  step,
  onPutBack,
}: {
  readonly step: Extract<Step, { is: 'done' }>;
  readonly onPutBack: () => void;
}) {
  const { lines } = step.done;
  const hasBack = lines.some(({ back, clearsFaulty }) => back !== null || clearsFaulty);
  const cannot = lines.filter(({ does, back }) => does === 'changes' && back === null).length;
  if (step.isBack) return <p role="status">Put back as it was.</p>;
  return (
    <>
      <Trouble trouble={step.trouble} />
      {hasBack ? (
        <UndoBar done={`${saySums(lines, true)}. It can be put back until you leave.`} onUndo={onPutBack} />
      ) : (
        <p role="status">{saySums(lines, true)}</p>
      )}
      {cannot > 0 ? (
        <p className="small">A first price stays when the rest is put back: prices are only ever added.</p>
      ) : null}
      <BulkLines lines={lines} />
    </>
  );
}

export function BulkEdit({ things: chosen, onClose }: BulkEditProps) {
  const outfit = useOutfit();
  const id = useId();
  const section = useRef<HTMLElement>(null);
  const [draft, setDraft] = useState<Draft>({ facts: new Set(), texts: { onDate: today(outfit.zone) } });
  const [step, setStep] = useState<Step>({ is: 'choosing', trouble: null });
  const stepIs = step.is;
  const [busy, setBusy] = useState(false);
  // Each step begins at its heading, also for those who hear the page.
  useEffect(
    () => section.current?.querySelector<HTMLElement>(`h2[data-step="${stepIs}"]`)?.focus(),
    [stepIs],
  );
  const preview = async () => {
    const format = new Intl.NumberFormat('en', { style: 'currency', currency: outfit.currency });
    const digits = format.resolvedOptions().maximumFractionDigits ?? 2;
    const read = readDraft(draft, { currency: outfit.currency, digits });
    if ('fault' in read) return setStep({ is: 'choosing', trouble: read.fault });
    setBusy(true);
    const answer = await previewEdit(chosen, read.edit);
    setBusy(false);
    if (answer.ok) setStep({ is: 'shown', edit: read.edit, lines: answer.body });
    else setStep({ is: 'choosing', trouble: answer });
  };
  const change = async (edit: ManyEdit) => {
    setBusy(true);
    const answer = await doEdit(chosen, edit);
    setBusy(false);
    if (answer.ok) setStep({ is: 'done', done: answer.body, isBack: false, trouble: null });
    else setStep({ is: 'choosing', trouble: answer });
  };
  const putBack = async (before: Extract<Step, { is: 'done' }>) => {
    setBusy(true);
    const answer = await before.done.putBack();
    setBusy(false);
    setStep(answer.ok ? { ...before, isBack: true } : { ...before, trouble: answer });
  };
  const changing = step.is === 'shown' ? step.lines.filter(doesChange).length : 0;
  return (
    <section ref={section} className="bulk" aria-labelledby={id} aria-busy={busy}>
      <h2 className="tape" id={id} tabIndex={-1} data-step={stepIs}>
        {step.is === 'done' ? 'Edited' : 'Edit'} {things(chosen.length)}
      </h2>
      {step.is === 'choosing' ? (
        <form
          onSubmit={(event) => {
            event.preventDefault();
            void preview();
          }}
        >
          <Trouble trouble={step.trouble} />
          <BulkFields draft={draft} onDraft={setDraft} />
          <div className="ways">
            <Button kind="main" type="submit" disabled={busy}>
              {busy ? 'Looking …' : 'Show what will happen'}
            </Button>
            <Button onClick={() => onClose(false)}>Back to the list</Button>
          </div>
        </form>
      ) : null}
      {step.is === 'shown' ? (
        <>
          <p role="status">{saySums(step.lines, false)}</p>
          <div className="ways">
            <Button kind="main" disabled={busy || changing === 0} onClick={() => change(step.edit)}>
              {busy ? 'Changing …' : `Change ${things(changing)}`}
            </Button>
            <Button disabled={busy} onClick={() => setStep({ is: 'choosing', trouble: null })}>
              Change something else
            </Button>
            <Button disabled={busy} onClick={() => onClose(false)}>
              Back to the list
            </Button>
          </div>
          <BulkLines lines={step.lines} />
        </>
      ) : null}
      {step.is === 'done' ? (
        <>
          <DoneStep step={step} onPutBack={() => putBack(step)} />
          <div className="ways">
            <Button kind="main" disabled={busy} onClick={() => onClose(true)}>
              Back to the list
            </Button>
          </div>
        </>
      ) : null}
    </section>
  );
}
