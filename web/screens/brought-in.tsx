// What became of a list, the refused lines as a file, and what to do next.
import { useEffect, useState } from 'react';
import { Link } from 'react-router';
import type { BroughtIn, Sums } from '../data/lists.ts';
import { Button } from '../look/button.tsx';
import { Notice } from '../look/notice.tsx';
import { Tape } from '../look/tape.tsx';
import { MakeTags } from './tags.tsx';
import { showNumber } from './words.ts';

const ROWS: readonly (readonly [keyof Sums, string])[] = [
  ['lines', 'Lines in the list'],
  ['things', 'Things made'],
  ['already-known', 'Lines known already, skipped'],
  ['refused', 'Lines refused'],
];

function useFileAddress(text: string | null): string | null {
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    if (text === null) return;
    const made = URL.createObjectURL(new Blob([text], { type: 'text/csv' }));
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [text]);
  return address;
}

function RefusedFile({ done, fileName }: { readonly done: BroughtIn; readonly fileName: string }) {
  const address = useFileAddress(done.refusedFile);
  if (address === null) return null;
  const refused = done.sums.refused;
  return (
    <Notice
      kind="trouble"
      title={refused === 1 ? '1 line was refused' : `${showNumber(refused)} lines were refused`}
    >
      <p>
        They are in a file, each with its reason. Correct them there and bring that file in; what is in
        already is left alone.
      </p>
      <p>
        <a className="button" href={address} download={`refused ${fileName.replace(/\.\w+$/, '')}.csv`}>
          Save the refused lines
        </a>
      </p>
    </Notice>
  );
}

export function BroughtInReport({
  done,
  fileName,
  onAnother,
}: {
  readonly done: BroughtIn;
  readonly fileName: string;
  readonly onAnother: () => void;
}) {
  return (
    <>
      <Tape level={1}>Brought in</Tape>
      <p role="status" className="facts-line">
        {fileName}: {done.sums.things === 1 ? '1 thing' : `${showNumber(done.sums.things)} things`} made.
      </p>
      <RefusedFile done={done} fileName={fileName} />
      <table className="figures">
        <caption className="unseen">What became of the list</caption>
        <tbody>
          {ROWS.map(([key, name]) => (
            <tr key={key}>
              <th scope="row">{name}</th>
              <td className="number">{showNumber(done.sums[key])}</td>
            </tr>
          ))}
          <tr>
            <th scope="row">Places made</th>
            <td className="number">{showNumber(done.placesMade)}</td>
          </tr>
          <tr>
            <th scope="row">Classes made</th>
            <td className="number">{showNumber(done.classesMade)}</td>
          </tr>
        </tbody>
      </table>
      <p className="ways">
        <Link to="/where" className="button main">
          See where everything is
        </Link>
        <Button onClick={onAnother}>Bring in another list</Button>
      </p>
      <Tape level={2}>Make tags for it</Tape>
      <p className="measure">A tag makes a scan possible. Gear without one is counted just as well.</p>
      <MakeTags />
    </>
  );
}
