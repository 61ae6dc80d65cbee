// A screen that fails in the middle of drawing takes nothing else with it: the head and the keys stay, and it can be
// drawn again. React knows only a class for this.
import { Component, type ReactNode } from 'react';
import { Button } from '../look/button.tsx';
import { Notice } from '../look/notice.tsx';

interface MishapProps {
  /** The address of the screen: another one is drawn afresh. */
  readonly at: string;
  readonly children: ReactNode;
}

// A tab that stays open over an update asks for screens that are gone; each browser says so in its own words.
const GONE = /dynamically imported module|module script failed/i;
type Failure = 'none' | 'drawing' | 'gone';

export class Mishap extends Component<MishapProps, { readonly failure: Failure }> {
  override state: { readonly failure: Failure } = { failure: 'none' };

  static getDerivedStateFromError(error: unknown) {
    return { failure: GONE.test(String(error)) ? 'gone' : 'drawing' };
  }

  override componentDidUpdate(before: MishapProps) {
    if (this.state.failure !== 'none' && before.at !== this.props.at) this.setState({ failure: 'none' });
  }

  override render() {
    const { failure } = this.state;
    if (failure === 'none') return this.props.children;
    if (failure === 'gone')
      return (
        <Notice kind="trouble" title="The desk was renewed while this page stood open.">
          <p>Load the page again to go on; everything that was saved is there.</p>
          <Button onClick={() => window.location.reload()}>Load it again</Button>
        </Notice>
      );
    return (
      <Notice kind="trouble" title="This screen could not be drawn.">
        <p>Nothing is lost. Draw it again; if it fails again, open another screen above.</p>
        <Button onClick={() => this.setState({ failure: 'none' })}>Draw it again</Button>
      </Notice>
    );
  }
}
