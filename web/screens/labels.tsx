// Labels to print: of things picked from the list in home order, of a block of blank tags, or of one thing.
import './labels.css';
import { useState } from 'react';
import { Link, useParams } from 'react-router';
import { parseTag } from '#domain/tag-code.ts';
import { thingSchema } from '#domain/thing.ts';
import type { Asked } from '../data/ask.ts';
import { giveTags, type Labelled, useLabelled } from '../data/labels.ts';
import { useTags } from '../data/tags.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { filterLabelled, LabelFilters, LabelPick, useLabelFilter } from './label-pick.tsx';
import { LabelPrint } from './label-print.tsx';
import { Answered, useTitle } from './parts.tsx';

function NothingShown({ all }: { readonly all: readonly Labelled[] }) {
  if (all.length === 0) {
    return (
      <Empty title="There is nothing to label yet.">
        <p>
          Enter things at <Link to="/things/new">New thing</Link> or{' '}
          <Link to="/bring-in">bring in a list</Link>. Or <Link to="/tags">make blank tags</Link> first and
          say later what each is on.
        </p>
      </Empty>
    );
  }
  return (
    <Empty title="Nothing here is without a label or passes these filters.">
      <p>Choose “All”, another place, or a shorter part of the name.</p>
    </Empty>
  );
}

/** The tags of what was chosen, in home order; those who had none have theirs after this. */
async function tagAll(chosen: readonly Labelled[]): Promise<Asked<readonly string[]>> {
  const answer = await giveTags(chosen);
  if (!answer.ok) return answer;
  const codeOf = new Map(answer.body.given.map(({ id, code }) => [id, code]));
  return { ...answer, body: chosen.flatMap(({ id, tag }) => tag ?? codeOf.get(id) ?? []) };
}

function LabelsBody({ all }: { readonly all: readonly Labelled[] }) {
  const { filter, set } = useLabelFilter();
  const [chosen, setChosen] = useState<ReadonlySet<string>>(filter.ids ?? new Set());
  const shown = filterLabelled(all, filter);
  const taken = all.filter(({ id }) => chosen.has(id));
  const bare = taken.filter(({ tag }) => tag === null).length;
  return (
    <div className="label-panes">
      <div>
        <LabelFilters all={all} filter={filter} set={set} />
        {shown.length === 0 ? (
          <NothingShown all={all} />
        ) : (
          <LabelPick shown={shown} chosen={chosen} onChoose={setChosen} />
        )}
      </div>
      <LabelPrint codes={taken.flatMap(({ tag }) => tag ?? [])} bare={bare} onTag={() => tagAll(taken)} />
    </div>
  );
}

export function LabelsScreen() {
  useTitle('Labels');
  const { answer, again } = useLabelled();
  return (
    <>
      <Tape level={1}>Labels</Tape>
      <p className="measure">
        In home order, so that they come off the sheet as you walk along the drawers. To stick first and say
        later what each is on, <Link to="/tags">make blank tags</Link>.
      </p>
      <Answered answer={answer} onAgain={again}>
        {(all) => <LabelsBody all={all} />}
      </Answered>
    </>
  );
}

export function BlockLabelsScreen() {
  const { blockId = '' } = useParams();
  useTitle('Labels');
  const { answer, again } = useTags(blockId);
  return (
    <>
      <Tape level={1}>Labels of a block</Tape>
      <Answered answer={answer} onAgain={again}>
        {(tags) =>
          tags.length === 0 ? (
            <Empty title="There is no such block.">
              <p>
                <Link to="/tags">All blocks of tags</Link>
              </p>
            </Empty>
          ) : (
            <LabelPrint codes={tags.map(({ code }) => code)} />
          )
        }
      </Answered>
    </>
  );
}

export function ThingLabelsScreen() {
  const { thingId = '' } = useParams();
  useTitle('Labels');
  const { answer, again } = useAnswer(`/api/things/${thingId}`, thingSchema);
  return (
    <Answered answer={answer} onAgain={again}>
      {(thing) => {
        const tags = thing.codes.filter((code) => 'tag' in parseTag(code));
        return (
          <>
            <Tape level={1}>Labels of {thing.name}</Tape>
            {tags.length === 0 ? (
              <Empty title="It has no tag of ours.">
                <p>
                  Codes of a maker or a rental house have their own labels.{' '}
                  <Link to={`/labels?ids=${thing.id}`}>Give it a tag</Link>
                </p>
              </Empty>
            ) : (
              <LabelPrint codes={tags} />
            )}
          </>
        );
      }}
    </Answered>
  );
}
