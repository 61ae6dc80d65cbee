// What somebody should look at: nothing of it is lost or in a hurry. What was looked at is out of the way, not gone.
import './to-look-at.css';
import { type ReactNode, useState } from 'react';
import { useSearchParams } from 'react-router';
import type { Leftover, Matter } from '#domain/matter.ts';
import type { Refused } from '../data/ask.ts';
import { type Deed, doFacts } from '../data/still-out.ts';
import { endLoop, type Matters, sayLookedAt, useLeftovers, useMatters } from '../data/to-look-at.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { UndoBar } from '../look/undo-bar.tsx';
import { Answered, bodyOf, RefusedNotice, useTitle } from './parts.tsx';
import { ClockCard, CodeCard, LeftoverCard, LoopCard } from './to-look-at-others.tsx';
import { WaitingCard } from './to-look-at-waiting.tsx';

function Part<T extends { readonly ref: string; readonly isOpen: boolean }>({
  title,
  matters,
  all,
  card,
}: {
  readonly title: string;
  readonly matters: readonly T[];
  readonly all: boolean;
  readonly card: (matter: T) => ReactNode;
}) {
  const shown = all ? matters : matters.filter(({ isOpen }) => isOpen);
  const open = matters.filter(({ isOpen }) => isOpen).length;
  if (shown.length === 0) return null;
  return (
    <section>
      <Tape level={2} figure={open === shown.length ? open : `${open} of ${shown.length} open`}>
        {title}
      </Tape>
      <ul className="look-list">{shown.map(card)}</ul>
    </section>
  );
}

function NothingOpen({ hidden }: { readonly hidden: number }) {
  return (
    <Empty title="Nothing waits for you.">
      <p>
        Here you find lines of phones that wait for something, codes that nobody knows, cases that were put
        into each other, clocks that were wrong, and what a phone could not use.
      </p>
      {hidden > 0 ? (
        <p>{hidden === 1 ? '1 was looked at already.' : `${hidden} were looked at already.`}</p>
      ) : null}
    </Empty>
  );
}

interface BodyProps {
  readonly matters: Matters;
  readonly leftovers: readonly Leftover[];
  readonly again: () => void;
}

function useSettling(again: () => void) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const [done, setDone] = useState<Extract<Deed, { ok: true }> | null>(null);
  const settle = (deed: Promise<Refused | null>) =>
    void deed.then((failed) => {
      setRefused(failed);
      again();
    });
  const write = (deed: Promise<Deed>) =>
    void deed.then((made) => {
      setRefused(made.ok ? null : made);
      setDone(made.ok ? made : null);
      again();
    });
  const undo = () => {
    const back = done?.undo();
    setDone(null);
    if (back !== undefined) settle(back);
  };
  return { refused, done, settle, write, undo };
}

function ToLookAtBody({ matters, leftovers, again }: BodyProps) {
  const [query, setQuery] = useSearchParams();
  const all = query.get('all') === 'yes';
  const { refused, done, settle, write, undo } = useSettling(again);
  const onLookedAt = (matter: Matter, ref: string, lookedAt: boolean) =>
    settle(sayLookedAt(matter, ref, lookedAt));
  const everything = [
    ...matters.waiting,
    ...matters.codes,
    ...matters.loops,
    ...matters.clocks,
    ...leftovers,
  ];
  const open = everything.filter(({ isOpen }) => isOpen).length;
  const hidden = everything.length - open;
  const reviews = matters.waiting.filter(({ waitsFor }) => waitsFor === 'review');
  const waiting = matters.waiting.filter(({ waitsFor }) => waitsFor !== 'review');
  return (
    <>
      {refused ? <RefusedNotice refused={refused} /> : null}
      {hidden > 0 ? (
        <fieldset className="filters">
          <legend className="unseen">Which are shown</legend>
          <Button aria-pressed={!all} onClick={() => setQuery({})}>
            {`Open (${open})`}
          </Button>
          <Button aria-pressed={all} onClick={() => setQuery({ all: 'yes' })}>
            {`All (${everything.length})`}
          </Button>
        </fieldset>
      ) : null}
      {open === 0 && !all ? <NothingOpen hidden={hidden} /> : null}
      <Part
        title="For your word"
        matters={reviews}
        all={all}
        card={(group) => (
          <WaitingCard key={group.ref} group={group} settle={settle} onLookedAt={onLookedAt} />
        )}
      />
      <Part
        title="Waiting for something"
        matters={waiting}
        all={all}
        card={(group) => (
          <WaitingCard key={group.ref} group={group} settle={settle} onLookedAt={onLookedAt} />
        )}
      />
      <Part
        title="Codes that nobody knows"
        matters={matters.codes}
        all={all}
        card={(code) => <CodeCard key={code.ref} code={code} settle={settle} onLookedAt={onLookedAt} />}
      />
      <Part
        title="Inside each other"
        matters={matters.loops}
        all={all}
        card={(loop) => (
          <LoopCard
            key={loop.ref}
            loop={loop}
            onEnd={() => write(doFacts(endLoop(loop), `${loop.name} is in ${loop.countsAtName ?? ''}.`))}
            onLookedAt={onLookedAt}
          />
        )}
      />
      <Part
        title="Clocks"
        matters={matters.clocks}
        all={all}
        card={(clock) => <ClockCard key={clock.ref} clock={clock} onLookedAt={onLookedAt} />}
      />
      <Part
        title="Left over on phones"
        matters={leftovers}
        all={all}
        card={(leftover) => <LeftoverCard key={leftover.ref} leftover={leftover} onLookedAt={onLookedAt} />}
      />
      {done ? (
        <div className="look-bar">
          <UndoBar done={done.words} onUndo={undo} />
        </div>
      ) : null}
    </>
  );
}

export function ToLookAtScreen() {
  useTitle('To look at');
  const { answer, again } = useMatters();
  const { answer: leftovers, again: leftoversAgain } = useLeftovers();
  const askAgain = () => {
    again();
    leftoversAgain();
  };
  return (
    <>
      <Tape level={1}>To look at</Tape>
      <Answered answer={answer} onAgain={askAgain}>
        {(matters) => <ToLookAtBody matters={matters} leftovers={bodyOf(leftovers) ?? []} again={askAgain} />}
      </Answered>
    </>
  );
}
