// Tags made ahead of time: a block of blank ones, and the blocks there are.
import { type FormEvent, useState } from 'react';
import { Link, useNavigate } from 'react-router';
import type { Refused } from '../data/ask.ts';
import { makeTags, TAGS_PER_BLOCK_MAX, type Tag, useTags } from '../data/tags.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Field } from '../look/field.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, RefusedNotice, useOutfit, useTitle } from './parts.tsx';
import { showTime } from './words.ts';

const FIRST_NUMBER = 40;

export function MakeTags() {
  const navigate = useNavigate();
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  const make = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    setBusy(true);
    const answer = await makeTags(Number(new FormData(event.currentTarget).get('number')));
    setBusy(false);
    if (answer.ok) navigate(`/tags/${answer.body.blockId}`);
    else setRefused(answer);
  };
  return (
    <form onSubmit={make} className="row-form">
      {refused ? <RefusedNotice refused={refused} /> : null}
      <Field
        label="How many blank tags"
        name="number"
        type="number"
        required
        min={1}
        max={TAGS_PER_BLOCK_MAX}
        defaultValue={FIRST_NUMBER}
      />
      <Button kind="main" type="submit" disabled={busy}>
        {busy ? 'Making them …' : 'Make tags'}
      </Button>
    </form>
  );
}

function BlockTable({ tags }: { readonly tags: readonly Tag[] }) {
  const { zone } = useOutfit();
  const blocks = new Map<string, Tag[]>();
  for (const tag of tags) blocks.set(tag.blockId, [...(blocks.get(tag.blockId) ?? []), tag]);
  const sorted = [...blocks].sort(([, a], [, b]) => (b[0]?.madeAt ?? 0) - (a[0]?.madeAt ?? 0));
  return (
    <table className="figures">
      <caption className="unseen">Blocks of tags</caption>
      <thead>
        <tr>
          <th scope="col">Made</th>
          <th scope="col" className="number">
            Tags
          </th>
          <th scope="col" className="number">
            Still blank
          </th>
        </tr>
      </thead>
      <tbody>
        {sorted.map(([blockId, some]) => (
          <tr key={blockId}>
            <th scope="row">
              <Link to={`/tags/${blockId}`}>{showTime(some[0]?.madeAt ?? 0, zone)}</Link>
            </th>
            <td className="number">{some.length}</td>
            <td className="number">{some.filter(({ tied }) => !tied).length}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function TagsScreen() {
  useTitle('Tags');
  const { answer, again } = useTags(null);
  return (
    <>
      <Tape level={1}>Tags</Tape>
      <p className="measure">
        A tag is a short code on a label. Print a block ahead of time, stick them on, and scan: the phone page
        asks what each one is on. Gear without a tag is counted just as well.
      </p>
      <MakeTags />
      <Answered answer={answer} onAgain={again}>
        {(tags) =>
          tags.length === 0 ? (
            <Empty title="No tags yet.">
              <p>Make a block, then print its labels.</p>
            </Empty>
          ) : (
            <BlockTable tags={tags} />
          )
        }
      </Answered>
    </>
  );
}
