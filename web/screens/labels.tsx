// Labels on a page to print: of a block of tags, or of one thing. Each is an image in true millimetres.
import './labels.css';
import { Link, useParams } from 'react-router';
import { parseTag } from '#domain/tag-code.ts';
import { thingSchema } from '#domain/thing.ts';
import { useTags } from '../data/tags.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, useOutfit, useTitle } from './parts.tsx';

/** A label that is not there yet would leave a hole on the paper. */
async function printWhenDrawn(): Promise<void> {
  await Promise.allSettled([...document.images].map((image) => image.decode()));
  window.print();
}

function Sheet({ codes }: { readonly codes: readonly string[] }) {
  const { name } = useOutfit();
  return (
    <>
      <p className="small only-on-paper">{name}</p>
      <p className="not-on-paper">
        <Button onClick={printWhenDrawn}>Print</Button>
      </p>
      <p className="small measure not-on-paper">
        Print at 100 %, unscaled: the bars are drawn in whole dots of the printer. Try one on the phone before
        you print them all.
      </p>
      <ul className="label-sheet" aria-label="Labels">
        {codes.map((code) => (
          <li key={code}>
            <img src={`/api/codes/${encodeURIComponent(code)}/label.svg`} alt={`Label ${code}`} />
          </li>
        ))}
      </ul>
    </>
  );
}

export function BlockLabelsScreen() {
  const { blockId = '' } = useParams();
  useTitle('Labels');
  const { answer, again } = useTags(blockId);
  return (
    <>
      <Tape level={1}>Labels</Tape>
      <Answered answer={answer} onAgain={again}>
        {(tags) =>
          tags.length === 0 ? (
            <Empty title="There is no such block.">
              <p>
                <Link to="/tags">All blocks of tags</Link>
              </p>
            </Empty>
          ) : (
            <Sheet codes={tags.map(({ code }) => code)} />
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
                  Codes of a maker or a rental house have their own labels. <Link to="/tags">Make tags</Link>
                </p>
              </Empty>
            ) : (
              <Sheet codes={tags} />
            )}
          </>
        );
      }}
    </Answered>
  );
}
