// What bringing in the list will do, line by line, before anything is written.
import { type ReactNode, useEffect, useState } from 'react';
import type { Refused } from '../data/ask.ts';
import {
  askPlan,
  type Choices,
  type ListFile,
  type PlannedLine,
  type Sums,
  type Understood,
} from '../data/lists.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Tape } from '../look/tape.tsx';
import { RefusedNotice, WideTable } from './parts.tsx';
import { showDate, showMoney, showNumber } from './words.ts';

export const WORD_OF_DOES: Readonly<Record<PlannedLine['does'], string>> = {
  'makes-item': 'makes an item',
  'makes-items': 'makes items',
  'makes-counted-gear': 'makes counted gear',
  'makes-consumable': 'makes a consumable',
  'already-known': 'known already, skipped',
  refused: 'refused',
};
const FILTERS = ['', ...Object.keys(WORD_OF_DOES)];

function isDoes(key: string): key is PlannedLine['does'] {
  return key in WORD_OF_DOES;
}

interface Shown {
  readonly sums: Sums;
  readonly lines: readonly PlannedLine[];
  readonly next: number | null;
}

/** The plan as far as it was asked for; a change of the choices begins again. */
function usePlan(file: ListFile, choices: Choices, does: string) {
  const [shown, setShown] = useState<Shown | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const [after, setAfter] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another list, choice or filter begins at its first line.
  useEffect(() => setAfter(0), [file, choices, does]);
  useEffect(() => {
    const stop = new AbortController();
    askPlan(file, choices, { does, after, signal: stop.signal })
      .then((answer) => {
        if (stop.signal.aborted) return;
        setRefused(answer.ok ? null : answer);
        if (!answer.ok) return;
        const { body } = answer;
        setShown((before) => ({
          ...body,
          lines: after === 0 ? body.lines : [...(before?.lines ?? []), ...body.lines],
        }));
      })
      .catch((error: unknown) => {
        if (!stop.signal.aborted) throw error;
      });
    return () => stop.abort();
  }, [file, choices, does, after]);
  return { shown, refused, more: () => setAfter(shown?.next ?? 0) };
}

function PlanRow({ line }: { readonly line: PlannedLine }) {
  const { facts } = line;
  const known = [facts.maker, facts.model, facts.serial, facts.code?.code].filter(Boolean).join(' · ');
  return (
    <tr>
      <td className="number">{line.row}</td>
      <th scope="row">
        {facts.name}
        {known ? <span className="small"> {known}</span> : null}
      </th>
      <td className="number">{line.number}</td>
      <td>{facts.home.join(' / ')}</td>
      <td className="number">{facts.purchasedOn ? showDate(facts.purchasedOn) : ''}</td>
      <td className="number">{showMoney(facts.replacement)}</td>
      <td>
        <span className={line.does === 'refused' ? 'tone-bad strong' : ''}>{WORD_OF_DOES[line.does]}</span>
        {line.reason ? <span className="small"> {line.reason}</span> : null}
      </td>
    </tr>
  );
}

function PlanTable({ lines }: { readonly lines: readonly PlannedLine[] }) {
  return (
    <WideTable name="Line by line">
      <table>
        <thead>
          <tr>
            <th scope="col" className="number">
              Row
            </th>
            <th scope="col">Thing</th>
            <th scope="col" className="number">
              Number
            </th>
            <th scope="col">Lives in</th>
            <th scope="col" className="number">
              Bought
            </th>
            <th scope="col" className="number">
              Costs new
            </th>
            <th scope="col">What will happen</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <PlanRow key={line.row} line={line} />
          ))}
        </tbody>
      </table>
    </WideTable>
  );
}

function Filters({
  sums,
  does,
  onDoes,
}: {
  readonly sums: Sums;
  readonly does: string;
  readonly onDoes: (does: string) => void;
}) {
  return (
    <fieldset className="filters">
      <legend className="unseen">Lines to show</legend>
      {FILTERS.map((key) => {
        const number = isDoes(key) ? sums[key] : sums.lines;
        if (number === 0 && key !== does) return null;
        return (
          <button key={key} type="button" aria-pressed={key === does} onClick={() => onDoes(key)}>
            {isDoes(key) ? WORD_OF_DOES[key] : 'all lines'}{' '}
            <span className="number">{showNumber(number)}</span>
          </button>
        );
      })}
    </fieldset>
  );
}

function PlanChoices({
  choices,
  understood,
  onChoices,
}: {
  readonly choices: Choices;
  readonly understood: Understood;
  readonly onChoices: (choices: Choices) => void;
}) {
  const hasNumber = understood.columns.some(({ field }) => field === 'number');
  return (
    <div className="row-form">
      <Field
        label="Things without a home are put down in"
        defaultValue={choices.arriveAt}
        maxLength={300}
        onBlur={(event) => {
          const arriveAt = event.target.value.trim();
          if (arriveAt !== '' && arriveAt !== choices.arriveAt) onChoices({ ...choices, arriveAt });
        }}
      />
      <Field
        label="New homes are compartments of the vehicle"
        defaultValue={choices.vehicle ?? ''}
        maxLength={300}
        onBlur={(event) => {
          const vehicle = event.target.value.trim() || null;
          if (vehicle !== choices.vehicle) onChoices({ ...choices, vehicle });
        }}
      />
      {hasNumber ? (
        <label>
          A line with a number above one makes
          <select
            value={choices.numberMakes}
            onChange={(event) =>
              onChoices({
                ...choices,
                numberMakes: event.target.value === 'items' ? 'items' : 'counted-gear',
              })
            }
          >
            <option value="counted-gear">counted gear, kept by number</option>
            <option value="items">as many items, each by itself</option>
          </select>
        </label>
      ) : null}
    </div>
  );
}

export function ListPlan({
  file,
  choices,
  understood,
  onChoices,
  children,
}: {
  readonly file: ListFile;
  readonly choices: Choices;
  readonly understood: Understood;
  readonly onChoices: (choices: Choices) => void;
  readonly children: (sums: Sums) => ReactNode;
}) {
  const [does, setDoes] = useState('');
  const { shown, refused, more } = usePlan(file, choices, does);
  return (
    <section>
      <Tape level={2}>What will happen</Tape>
      <PlanChoices choices={choices} understood={understood} onChoices={onChoices} />
      {refused ? <RefusedNotice refused={refused} /> : null}
      {shown === null && refused === null ? <p className="waiting">Reading the lines …</p> : null}
      {shown === null ? null : (
        <>
          <div className="do-it">{children(shown.sums)}</div>
          <Filters sums={shown.sums} does={does} onDoes={setDoes} />
          <PlanTable lines={shown.lines} />
          {shown.next === null ? null : <Button onClick={more}>Show more lines</Button>}
        </>
      )}
    </section>
  );
}
