// The list of keys, made from the table of screens, so that it cannot say what is not so.
import './keys.css';
import { Button } from '../look/button.tsx';
import { Dialog } from '../look/dialog.tsx';
import { FIND, SCREENS } from './screens.ts';

const isApple = /mac|iphone|ipad/i.test(navigator.userAgent);
/** As it is written on the keyboard of this device. */
export const PALETTE_KEY = isApple ? '⌘ K' : 'Ctrl K';

type KeyLine = readonly [keys: string, does: string];

const EVERYWHERE: readonly KeyLine[] = [
  [PALETTE_KEY, 'everything by typing: screens, things, places, jobs, what to do'],
  [FIND.key, 'find a thing or a place'],
  ...SCREENS.map(({ key, name }): KeyLine => [key, name]),
  ['?', 'this list'],
  ['Esc', 'close a question, leave a field'],
];

function KeyTable({ title, lines }: { readonly title: string; readonly lines: readonly KeyLine[] }) {
  return (
    <table className="keys-table">
      <caption>{title}</caption>
      <tbody>
        {lines.map(([keys, does]) => (
          <tr key={keys + does}>
            <th scope="row">
              {keys.split(' ').map((key) => (
                <kbd key={key}>{key}</kbd>
              ))}
            </th>
            <td>{does}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function KeyList({ onClose }: { readonly onClose: () => void }) {
  return (
    <Dialog open title="Keys" onClose={onClose} ways={<Button onClick={onClose}>Close</Button>}>
      <KeyTable title="On every screen" lines={EVERYWHERE} />
      {[...SCREENS, FIND].map(({ path, name, keys }) =>
        keys === undefined ? null : <KeyTable key={path} title={name} lines={keys} />,
      )}
    </Dialog>
  );
}
