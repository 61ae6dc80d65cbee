// Everything that is still out there, across all stops: in groups, with sums, and the next step on each line.
import './still-out.css';
import { useEffect, useRef, useState } from 'react';
import { useSearchParams } from 'react-router';
import type { OutLine } from '#domain/out-line.ts';
import type { Refused } from '../data/ask.ts';
import { usePeople } from '../data/names.ts';
import { usePlaces } from '../data/places.ts';
import {
  type Deed,
  doFacts,
  keepAskings,
  type StillOutList,
  useStillOut,
  writeOffLines,
} from '../data/still-out.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { UndoBar } from '../look/undo-bar.tsx';
import { Answered, bodyOf, RefusedNotice, useTitle } from './parts.tsx';
import { AskDialog } from './still-out-ask.tsx';
import { FoundDialog } from './still-out-found.tsx';
import { GROUPINGS, type Grouping, groupsOf, keyOf, WORD_OF_GROUPING } from './still-out-groups.ts';
import { STEPS, type Step } from './still-out-row.tsx';
import { OutTable } from './still-out-table.tsx';
import { WriteOffDialog } from './still-out-write-off.tsx';
import { showTime } from './words.ts';

function NothingOut() {
  return (
    <Empty title="Nothing is out there.">
      <p>Everything that was said to be missing is back, and nothing is left, lent or overdue.</p>
      <p>
        What is not found at a wrap, left on purpose, lent or handed over shows up here until it is back, and
        so does what you borrowed or rented in once its day has passed.
      </p>
    </Empty>
  );
}

function GroupingChoice({
  by,
  onChoose,
}: {
  readonly by: Grouping;
  readonly onChoose: (by: Grouping) => void;
}) {
  return (
    <fieldset className="filters">
      <legend className="unseen">In groups by</legend>
      {GROUPINGS.map((one) => (
        <Button key={one} aria-pressed={by === one} onClick={() => onChoose(one)}>
          {`By ${WORD_OF_GROUPING[one]}`}
        </Button>
      ))}
    </fieldset>
  );
}

/** What was done last and can be taken back, or why it was not done. */
function useDeeds(again: () => void) {
  const [done, setDone] = useState<{ readonly words: string; readonly undo: () => void } | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const settle = (deed: Deed | null) => {
    setRefused(deed !== null && !deed.ok ? deed : null);
    const undo = deed?.ok ? () => void deed.undo().then((failed) => settle(failed ?? null)) : null;
    setDone(deed?.ok && undo !== null ? { words: deed.words, undo } : null);
    again();
  };
  return { done, refused, settle, refuse: setRefused };
}

interface Asking {
  readonly step: Step;
  readonly lines: readonly OutLine[];
}

/** The question that is open, and after it the focus goes back to where it was asked. */
function useAsking() {
  const [asking, setAsking] = useState<Asking | null>(null);
  const opener = useRef<HTMLElement | null>(null);
  useEffect(() => {
    if (asking === null && opener.current?.isConnected) opener.current.focus();
  }, [asking]);
  const open = (next: Asking) => {
    opener.current = document.activeElement instanceof HTMLElement ? document.activeElement : null;
    setAsking(next);
  };
  return { asking, open, close: () => setAsking(null) };
}

function StillOutBody({ list, again }: { readonly list: StillOutList; readonly again: () => void }) {
  const { lines, seesValues, parties } = list;
  const places = bodyOf(usePlaces().answer);
  const people = usePeople();
  const [query, setQuery] = useSearchParams();
  const by = GROUPINGS.find((one) => one === query.get('by')) ?? 'urgency';
  const [keys, setKeys] = useState<ReadonlySet<string>>(new Set());
  const { asking, open, close } = useAsking();
  const { done, refused, settle, refuse } = useDeeds(again);
  const selected = lines.filter((line) => keys.has(keyOf(line)));
  const select = (key: string, on: boolean) =>
    setKeys((before) => new Set(on ? [...before, key] : [...before].filter((known) => known !== key)));
  const onStep = (key: string, step: Step) => {
    // A step on a line that is selected is meant for all that are.
    const own = lines.filter((line) => keyOf(line) === key);
    open({ step, lines: keys.has(key) ? selected : own });
  };
  const finish = (deed: Promise<Deed | null>) => {
    close();
    setKeys(new Set());
    void deed.then(settle);
  };
  const dialog = asking === null ? null : { lines: asking.lines, places, onClose: close };
  const nameOf = (of: readonly OutLine[]) => (of.length === 1 ? (of[0]?.name ?? '') : `${of.length} lines`);
  return (
    <>
      {refused ? <RefusedNotice refused={refused} onAgain={() => refuse(null)} /> : null}
      <div className="out-head not-on-paper">
        <GroupingChoice by={by} onChoose={(one) => setQuery(one === 'urgency' ? {} : { by: one })} />
        {lines.length > 0 ? <Button onClick={() => window.print()}>Print for the van’s door</Button> : null}
      </div>
      {lines.length === 0 ? <NothingOut /> : null}
      {groupsOf(lines, by, { places, people }).map((group) => (
        <OutTable
          key={group.key}
          group={group}
          places={places}
          seesValues={seesValues}
          acts={{ selected: keys, onSelect: select, onStep }}
        />
      ))}
      <div className="out-bars not-on-paper">
        {done ? <UndoBar done={done.words} onUndo={done.undo} /> : null}
        {selected.length > 0 ? (
          <SelectedBar
            number={selected.length}
            onStep={(step) => open({ step, lines: selected })}
            onNone={() => setKeys(new Set())}
          />
        ) : null}
      </div>
      {dialog && asking?.step === 'found' ? (
        <FoundDialog {...dialog} onFacts={(facts, words) => finish(doFacts(facts, words))} />
      ) : null}
      {dialog && asking?.step === 'ask' ? (
        <AskDialog
          {...dialog}
          parties={parties}
          onAsked={(asked) => finish(keepAskings(dialog.lines, asked))}
        />
      ) : null}
      {dialog && asking?.step === 'write-off' ? (
        <WriteOffDialog
          {...dialog}
          onWrittenOff={(said) =>
            finish(writeOffLines(dialog.lines, said, `${nameOf(dialog.lines)} written off.`))
          }
        />
      ) : null}
    </>
  );
}

interface SelectedBarProps {
  readonly number: number;
  readonly onStep: (step: Step) => void;
  readonly onNone: () => void;
}

function SelectedBar({ number, onStep, onNone }: SelectedBarProps) {
  return (
    <section className="out-selected" aria-label="What to do with the selected lines">
      <p>{number === 1 ? '1 selected' : `${number} selected`}</p>
      {STEPS.map(([step, word]) => (
        <Button key={step} onClick={() => onStep(step)}>
          {word}
        </Button>
      ))}
      <Button kind="quiet" onClick={onNone}>
        Select none
      </Button>
    </section>
  );
}

export function StillOutScreen() {
  useTitle('Still out there');
  const { answer, again } = useStillOut();
  return (
    <>
      <Tape level={1}>Still out there</Tape>
      <p className="only-on-paper">As known on {showTime(Date.now())}. Tick what is back.</p>
      <Answered answer={answer} onAgain={again}>
        {(list) => <StillOutBody list={list} again={again} />}
      </Answered>
    </>
  );
}
