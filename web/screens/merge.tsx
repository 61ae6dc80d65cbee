// Two entries that are the same thing become one: choose the other, which one stays, and which facts it keeps.
import './thing.css';
import { useState } from 'react';
import { Link, useNavigate, useParams, useSearchParams } from 'react-router';
import { type Thing, type ThingFacts, thingSchema } from '#domain/thing.ts';
import type { Refused } from '../data/ask.ts';
import { differingKeys, draftOf, mixFacts } from '../data/thing-draft.ts';
import { factsOfThing, keepDraft, saveThing } from '../data/thing-edit.ts';
import { mergeInto } from '../data/thing-records.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, RefusedNotice, useOutfit, useTitle } from './parts.tsx';
import { showCode } from './thing-facts.tsx';
import { ThingPicker } from './thing-inputs.tsx';
import { type Chosen, TwoVersions } from './thing-two-versions.tsx';
import { WORD_OF_KIND } from './words.ts';

interface Two {
  readonly kept: Thing;
  readonly gone: Thing;
}

/** What the one that stays knows already is kept; what only the other knows is taken from it. */
function chosenAtFirst(kept: ThingFacts, gone: ThingFacts): Chosen {
  const isEmpty = (value: unknown) =>
    value === null || value === '' || (Array.isArray(value) && value.length === 0);
  return Object.fromEntries(
    differingKeys(kept, gone).map((key) => [key, isEmpty(kept[key]) ? 'right' : 'left']),
  );
}

function wordOf(thing: Thing): string {
  return [thing.name, thing.serial, ...thing.codes.map(showCode)].filter(Boolean).join(' · ');
}

function useMerging({ kept, gone }: Two) {
  const navigate = useNavigate();
  const { currency } = useOutfit();
  const [keptFacts, goneFacts] = [factsOfThing(kept), factsOfThing(gone)];
  const [chosen, setChosen] = useState<Chosen>(() => chosenAtFirst(keptFacts, goneFacts));
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  const merge = async () => {
    setBusy(true);
    const fromGone = new Set(Object.keys(chosen).filter((key) => chosen[key] === 'right'));
    const merged = await mergeInto(gone.id, kept.id);
    if (!merged.ok) {
      setBusy(false);
      setRefused(merged);
      return;
    }
    const facts = mixFacts(keptFacts, goneFacts, fromGone);
    const saved = fromGone.size > 0 ? await saveThing(kept, facts) : null;
    const isSaved = saved === null || saved.ok;
    // What could not be saved as chosen waits in the form, with the reason when it is saved there.
    if (!isSaved) {
      const draft = draftOf(facts, currency);
      keepDraft(kept.id, { version: kept.version, base: keptFacts, draft });
    }
    navigate(`/things/${kept.id}?merged=${gone.id}${isSaved ? '' : '&edit=1'}`);
  };
  return { keptFacts, goneFacts, chosen, setChosen, refused, busy, merge };
}

function WhatHappens({ kept, gone }: Two) {
  return (
    <ul className="measure">
      <li>
        “{gone.name}” leaves every list, and no count asks for it again. Its page stays and says where it
        went.
      </li>
      <li>
        Its tags and other codes mean “{kept.name}” from now on, also on phones as soon as they have heard.
      </li>
      <li>
        {kept.kind === 'item'
          ? 'What happened to it is part of the one history, each line at its own time; the later of the two says where it is.'
          : 'Its numbers are added to the others, place by place. Where they were the same heap, count it again.'}
      </li>
      <li>
        Its pictures, prices and places in packages go over. What is said as “not found yet” of it does not.
      </li>
      <li>It can be taken back.</li>
    </ul>
  );
}

function MergeTwo({ two, onTurn }: { readonly two: Two; readonly onTurn: () => void }) {
  const { kept, gone } = two;
  const { keptFacts, goneFacts, chosen, setChosen, refused, busy, merge } = useMerging(two);
  const differing = differingKeys(keptFacts, goneFacts);
  return (
    <>
      <dl className="facts merge-two">
        <div>
          <dt>Stays</dt>
          <dd>
            <strong>{wordOf(kept)}</strong> <span className="small">{WORD_OF_KIND[kept.kind]}</span>
          </dd>
        </div>
        <div>
          <dt>Becomes part of it</dt>
          <dd>
            <strong>{wordOf(gone)}</strong> <span className="small">{WORD_OF_KIND[gone.kind]}</span>
          </dd>
        </div>
      </dl>
      <p>
        <Button onClick={onTurn}>The other one stays</Button>
      </p>
      {differing.length === 0 ? (
        <p>Both entries say the same.</p>
      ) : (
        <>
          <Tape level={2} figure={differing.length}>
            Facts that differ
          </Tape>
          <TwoVersions
            left={keptFacts}
            right={goneFacts}
            titles={['The one that stays', 'The other one']}
            chosen={chosen}
            onChoose={(key, side) => setChosen({ ...chosen, [key]: side })}
          />
        </>
      )}
      <Tape level={2}>What happens</Tape>
      <WhatHappens {...two} />
      {refused ? <RefusedNotice refused={refused} /> : null}
      {refused?.kind === 'still-in-use' ? (
        <p>
          Things live in “{gone.name}” or were put into it, so it has to be the one that stays: choose “The
          other one stays”.
        </p>
      ) : null}
      <div className="ways">
        <Button kind="main" disabled={busy} onClick={() => void merge()}>
          {busy ? 'Making them one …' : 'Make them one'}
        </Button>
        <Link className="button" to={`/things/${kept.id}`}>
          They are two
        </Link>
      </div>
    </>
  );
}

function MergeBody({ thing }: { readonly thing: Thing }) {
  useTitle(`${thing.name}: same as another`);
  const [query, setQuery] = useSearchParams();
  const otherId = query.get('other') ?? '';
  const isTurned = query.get('stays') === 'this';
  const other = useAnswer(otherId === '' ? null : `/api/things/${otherId}`, thingSchema);
  const set = (key: string, value: string) => {
    const next = new URLSearchParams(query);
    if (value === '') next.delete(key);
    else next.set(key, value);
    setQuery(next, { replace: true });
  };
  return (
    <>
      <Tape level={1}>Same as another</Tape>
      <p className="measure">“{thing.name}” was entered twice? Choose the other entry for the same thing.</p>
      <div className="measure">
        <ThingPicker
          label="The other entry"
          value={otherId}
          without={thing.id}
          onValue={(id) => set('other', id)}
        />
      </div>
      {otherId === '' ? null : (
        <Answered answer={other.answer} onAgain={other.again}>
          {(known) => (
            <MergeTwo
              key={`${known.id}/${isTurned}/${known.version}/${thing.version}`}
              two={isTurned ? { kept: thing, gone: known } : { kept: known, gone: thing }}
              onTurn={() => set('stays', isTurned ? '' : 'this')}
            />
          )}
        </Answered>
      )}
    </>
  );
}

export function MergeScreen() {
  const { thingId } = useParams();
  const { answer, again } = useAnswer(`/api/things/${thingId}`, thingSchema);
  return (
    <Answered answer={answer} onAgain={again}>
      {(thing) =>
        thing.mergedIntoId === null ? (
          <MergeBody key={thing.id} thing={thing} />
        ) : (
          <>
            <Tape level={1}>Same as another</Tape>
            <Empty title="This entry was merged into another one already.">
              <p>
                <Link to={`/things/${thing.mergedIntoId}`}>Open that one</Link>, or take the merge back on{' '}
                <Link to={`/things/${thing.id}`}>its own page</Link>.
              </p>
            </Empty>
          </>
        )
      }
    </Answered>
  );
}
