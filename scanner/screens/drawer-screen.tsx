// What could not be used as it is: lines the service refused, rows that no longer read. Nothing leaves here by itself.
import { useEffect, useState } from 'react';
import { Button } from '../../web/look/button.tsx';
import { Dialog } from '../../web/look/dialog.tsx';
import { Empty } from '../../web/look/empty.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { type DrawerRow, drawerRowSchema } from '../store/rows.ts';
import { Frame } from './frame.tsx';
import { usePage } from './page.tsx';

const WHAT_WORDS: Readonly<Record<DrawerRow['what'], string>> = {
  movement: 'A line',
  stop: 'A stop',
  row: 'A row of this phone',
};

function saveAsFile(rows: readonly unknown[]): void {
  const address = URL.createObjectURL(
    new Blob([JSON.stringify(rows, null, 2)], { type: 'application/json' }),
  );
  const link = document.createElement('a');
  link.href = address;
  link.download = 'drawer.json';
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 1_000);
}

export function DrawerScreen() {
  const { phone } = usePage();
  const [values, setValues] = useState<readonly unknown[] | null>(null);
  const [asks, setAsks] = useState(false);
  useEffect(() => {
    void phone.database.getAll('drawer').then(setValues);
  }, [phone]);
  const empty = async () => {
    await phone.database.clear('drawer');
    setAsks(false);
    setValues([]);
    await phone.readAgain();
  };
  const rows = (values ?? []).flatMap((value) => {
    const row = drawerRowSchema.safeParse(value);
    return row.success ? [row.data] : [];
  });
  if (values?.length === 0) {
    return (
      <Frame title="The drawer" figure="0">
        <Empty title="The drawer is empty.">
          <p>
            What the service can’t take, or this phone no longer reads, would lie here until you look at it.
          </p>
        </Empty>
      </Frame>
    );
  }
  return (
    <Frame title="The drawer" figure={String(values?.length ?? '')}>
      {values === null ? <p className="waiting">One moment.</p> : null}
      <Lines label="In the drawer">
        {rows.map((row) => (
          <Line key={row.key} name={WHAT_WORDS[row.what]} facts={row.why} />
        ))}
      </Lines>
      <div className="row">
        <Button onClick={() => saveAsFile(values ?? [])}>Save as a file</Button>
        <Button onClick={() => setAsks(true)}>Empty the drawer</Button>
      </div>
      <Dialog
        open={asks}
        title="Empty the drawer?"
        onClose={() => setAsks(false)}
        ways={
          <>
            <Button onClick={() => setAsks(false)}>Keep it</Button>
            <Button onClick={() => void empty()}>Empty it for good</Button>
          </>
        }
      >
        <p>
          {rows.length === values?.length && rows.every(({ handed }) => handed === 'yes')
            ? 'The desk has a copy of all of it.'
            : 'Not all of it is on another device. Save it as a file first.'}
        </p>
      </Dialog>
    </Frame>
  );
}
