// Every part of the look on one page, to look at and to check: built by the tests only, and open at
// /look/specimen.html while developing. "?phone" shows it in the phone's sizes.
import { useState } from 'react';
import { createRoot } from 'react-dom/client';
import './look.css';
import { Button } from './button.tsx';
import { Choice, Choices } from './choice.tsx';
import { Dialog } from './dialog.tsx';
import { Empty } from './empty.tsx';
import { Field } from './field.tsx';
import { ICON_NAMES, Icon } from './icon.tsx';
import { Line, Lines } from './line.tsx';
import { Notice } from './notice.tsx';
import { Progress } from './progress.tsx';
import { Tape } from './tape.tsx';
import { readTheme, showTheme } from './theme.ts';
import { UndoBar } from './undo-bar.tsx';
import { Verdict, type VerdictKind } from './verdict.tsx';

const VERDICTS: readonly VerdictKind[] = [
  'aboard',
  'already-aboard',
  'somebody-elses',
  'unknown',
  'bad-code',
];

function Verdicts() {
  return (
    <section aria-label="Verdicts">
      {VERDICTS.map((kind) => (
        <Verdict key={kind} kind={kind}>
          Charger for two batteries
        </Verdict>
      ))}
    </section>
  );
}

function OpenLines() {
  const missing = { word: 'not found yet', tone: 'bad', icon: 'missing' } as const;
  return (
    <Lines label="Still open">
      <Line
        name="Card 256 GB, third of four"
        facts="holds rushes · on the sound cart, 16:40, Ida"
        state={missing}
        onPress={() => {}}
      />
      <Line
        name="Hide stool"
        facts="Birch Hide Co. · at the reed bed"
        state={{ word: 'open', tone: 'ask', icon: 'open' }}
      />
      <Line
        name="Long lens 150–600"
        facts={<span className="code">TC-7K3M-9Q4X</span>}
        state={{ word: 'seen', tone: 'good', icon: 'tick' }}
      />
      <Line name="Rain cover" facts="lives in the drawer below the seats" />
    </Lines>
  );
}

function Sums() {
  return (
    <table>
      <caption className="unseen">Where everything is</caption>
      <thead>
        <tr>
          <th scope="col">Place</th>
          <th scope="col" className="number">
            Things
          </th>
          <th scope="col" className="number">
            Value
          </th>
        </tr>
      </thead>
      <tbody>
        <tr>
          <td>
            <a href="#boat">Flat-bottomed boat</a>
          </td>
          <td className="number">17</td>
          <td className="number">€ 4,210.00</td>
        </tr>
        <tr>
          <td>4×4, left drawer</td>
          <td className="number">112</td>
          <td className="number">€ 21,904.50</td>
        </tr>
      </tbody>
    </table>
  );
}

function Buttons({ onAsk }: { readonly onAsk: () => void }) {
  return (
    <div className="ways">
      <Button kind="main" icon="scan" onClick={onAsk}>
        Scan
      </Button>
      <Button icon="torch">Torch</Button> <Button disabled>Close the count</Button>
      <Button kind="quiet">Not now</Button>
      <label className="button">
        From a picture
        <input type="file" accept="image/*" />
      </label>
    </div>
  );
}

function Specimen() {
  const [asking, setAsking] = useState(false);
  return (
    <main style={{ padding: 'var(--space-4)', maxWidth: '60rem', margin: '0 auto' }}>
      <Tape level={1}>Reed bed, north hide</Tape>
      <Choices>
        <Choice name="Back aboard" more="4 of 61 still open" icon="back-aboard" main onChoose={() => {}} />
        <Choice
          name="Going in"
          more="gear leaves the 4×4 for this stop"
          icon="going-in"
          onChoose={() => {}}
        />
      </Choices>
      <Tape level={2} figure="4 open">
        Still open
      </Tape>
      <OpenLines />
      <Buttons onAsk={() => setAsking(true)} />
      <Verdicts />
      <Tape level={2}>Words and fields</Tape>
      <Field label="Name of the stop" hint="You can name it later." defaultValue="Reed bed" />
      <Field
        label="Tag"
        defaultValue="TC-7K3M-9Q4Y"
        error="This code can’t be right. Did you mean TC-7K3M-9Q4X?"
      />
      <Notice kind="caution" title="Lithium batteries">
        <p>
          Charge them attended, on something that does not burn. This is guidance; the maker’s and the
          carrier’s rules decide.
        </p>
      </Notice>
      <Notice kind="trouble">
        <p>The camera is busy in another program. Close that one, then press Try again.</p>
      </Notice>
      <Empty title="Nothing is out there.">
        <p>What is not found at a wrap shows up here until it is back.</p>
      </Empty>
      <Progress label="Bringing in lines" done={4200} all={10000} onStop={() => {}} />
      <Progress label="Reading the file" done={12} />
      <Sums />
      <p className="small">
        Demo outfit<span className="mark">demo</span>
      </p>
      <ul className="lines" aria-label="Icons">
        {ICON_NAMES.map((name) => (
          <li key={name}>
            <Icon name={name} /> {name}
          </li>
        ))}
      </ul>
      <UndoBar done="Charger is aboard." onUndo={() => {}} />
      <Dialog
        open={asking}
        title="Close with one thing not found?"
        onClose={() => setAsking(false)}
        ways={
          <>
            <Button onClick={() => setAsking(false)}>Keep looking</Button>
            <Button kind="main">Close, not found yet</Button>
          </>
        }
      >
        <p>The charger stays on the list of what is still out there, first thing tomorrow.</p>
      </Dialog>
    </main>
  );
}

showTheme(readTheme());
if (new URLSearchParams(location.search).has('phone')) document.body.classList.add('phone');
const specimen = document.getElementById('specimen');
if (specimen) createRoot(specimen).render(<Specimen />);
