// Bringing in a list: choose it, look how it is understood, look what it will do, bring it in. One page, top to bottom.
import './bring-in.css';
import { useEffect, useState } from 'react';
import type { ColumnChange } from '#domain/csv/fields.ts';
import type { Asked, Refused } from '../data/ask.ts';
import {
  askUnderstood,
  type BroughtIn,
  bringIn,
  type Choices,
  firstChoicesFor,
  type ListFile,
  type ListProgress,
  type Understood,
} from '../data/lists.ts';
import { usePlaces } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { Progress } from '../look/progress.tsx';
import { Tape } from '../look/tape.tsx';
import { BroughtInReport } from './brought-in.tsx';
import { ChooseList } from './choose-list.tsx';
import { ListColumns } from './list-columns.tsx';
import { ListPlan } from './list-plan.tsx';
import { bodyOf, RefusedNotice, useTitle } from './parts.tsx';
import { showNumber } from './words.ts';

const WORD_OF_STEP: Readonly<Record<string, string>> = {
  reading: 'Reading the lines',
  things: 'Writing down the things',
  codes: 'Putting the tags on',
  places: 'Putting everything in its place',
};

function useUnderstood(file: ListFile | null, choices: Choices): Asked<Understood> | null {
  const [understood, setUnderstood] = useState<Asked<Understood> | null>(null);
  useEffect(() => {
    if (file === null) return;
    const stop = new AbortController();
    askUnderstood(file, choices, stop.signal)
      .then(setUnderstood)
      .catch((error: unknown) => {
        if (!stop.signal.aborted) throw error;
      });
    return () => stop.abort();
  }, [file, choices]);
  return file === null ? null : understood;
}

interface OneListProps {
  readonly file: ListFile;
  readonly understood: Understood;
  readonly choices: Choices;
  readonly onChoices: (choices: Choices) => void;
  readonly onDone: (done: BroughtIn) => void;
}

function OneList({ file, understood, choices, onChoices, onDone }: OneListProps) {
  const [progress, setProgress] = useState<ListProgress | 'begun' | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const change = (index: number, columnChange: ColumnChange) =>
    onChoices({
      ...choices,
      columns: { ...choices.columns, [index]: { ...choices.columns[index], ...columnChange } },
    });
  const bring = async () => {
    setProgress('begun');
    setRefused(null);
    const answer = await bringIn(file, choices, setProgress);
    setProgress(null);
    if (answer.ok) onDone(answer.body);
    else setRefused(answer);
  };
  return (
    <>
      <fieldset className="bare" disabled={progress !== null}>
        <legend className="unseen">Columns of the list</legend>
        <ListColumns understood={understood} onChange={change} />
      </fieldset>
      <ListPlan file={file} choices={choices} understood={understood} onChoices={onChoices}>
        {(sums) => (
          <>
            {refused ? <RefusedNotice refused={refused} /> : null}
            {progress === null ? (
              <Button kind="main" onClick={bring} disabled={sums.things === 0}>
                {sums.things === 1 ? 'Bring in 1 thing' : `Bring in ${showNumber(sums.things)} things`}
              </Button>
            ) : null}
            {progress === 'begun' ? <Progress label="Reading the lines" done={0} all={sums.lines} /> : null}
            {progress !== null && progress !== 'begun' ? (
              <Progress
                label={WORD_OF_STEP[progress.step] ?? progress.step}
                done={progress.done}
                all={progress.of}
              />
            ) : null}
          </>
        )}
      </ListPlan>
    </>
  );
}

export function BringInScreen() {
  useTitle('Bring in a list');
  const [file, setFile] = useState<ListFile | null>(null);
  const places = bodyOf(usePlaces().answer);
  const [choices, setChoices] = useState(() => firstChoicesFor(places));
  const [done, setDone] = useState<BroughtIn | null>(null);
  const understood = useUnderstood(file, choices);
  const begin = (next: ListFile | null) => {
    setFile(next);
    setChoices(firstChoicesFor(places));
    setDone(null);
  };
  if (done !== null && file !== null) {
    return <BroughtInReport done={done} fileName={file.name} onAnother={() => begin(null)} />;
  }
  return (
    <>
      <Tape level={1}>Bring in a list</Tape>
      <ChooseList file={file} onChosen={begin} />
      {file !== null && understood === null ? <p className="waiting">Reading {file.name} …</p> : null}
      {understood !== null && !understood.ok ? <RefusedNotice refused={understood} /> : null}
      {file !== null && understood?.ok ? (
        <OneList
          file={file}
          understood={understood.body}
          choices={choices}
          onChoices={setChoices}
          onDone={setDone}
        />
      ) : null}
    </>
  );
}
