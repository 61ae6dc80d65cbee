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

export class Mishap extends Component<MishapProps, { readonly failed: boolean }> {
  override state = { failed: false };

  static getDerivedStateFromError() {
    return { failed: true };
  }

  override componentDidUpdate(before: MishapProps) {
    if (this.state.failed && before.at !== this.props.at) this.setState({ failed: false });
  }

  override render() {
    if (!this.state.failed) return this.props.children;
    return (
      <Notice kind="trouble" title="This screen could not be drawn.">
        <p>Nothing is lost. Draw it again; if it fails again, open another screen above.</p>
        <Button onClick={() => this.setState({ failed: false })}>Draw it again</Button>
      </Notice>
    );
  }
}
