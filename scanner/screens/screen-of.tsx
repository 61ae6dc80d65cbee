// The screen of each route. Those on the way to the first scan of an evening are there from the start; the others come when they
// are asked for, from what the service worker keeps.
import { lazy, Suspense } from 'react';
import { CountScreen } from './count-screen.tsx';
import type { Route } from './route.ts';
import { StopScreen } from './stop-screen.tsx';
import { StopsScreen } from './stops-screen.tsx';

const ClosedScreen = lazy(() =>
  import('./closed-screen.tsx').then((made) => ({ default: made.ClosedScreen })),
);
const CloseScreen = lazy(() => import('./close-screen.tsx').then((made) => ({ default: made.CloseScreen })));
const CompartmentScreen = lazy(() =>
  import('./compartment-screen.tsx').then((made) => ({ default: made.CompartmentScreen })),
);
const GoingInScreen = lazy(() =>
  import('./going-in-screen.tsx').then((made) => ({ default: made.GoingInScreen })),
);
const LineScreen = lazy(() => import('./line-screen.tsx').then((made) => ({ default: made.LineScreen })));
const ContainerScreen = lazy(() =>
  import('./container-screen.tsx').then((made) => ({ default: made.ContainerScreen })),
);
const DrawerScreen = lazy(() =>
  import('./drawer-screen.tsx').then((made) => ({ default: made.DrawerScreen })),
);
const FindScreen = lazy(() => import('./find-screen.tsx').then((made) => ({ default: made.FindScreen })));
const LabelWalkScreen = lazy(() =>
  import('./label-walk-screen.tsx').then((made) => ({ default: made.LabelWalkScreen })),
);
const ListsScreen = lazy(() => import('./lists-screen.tsx').then((made) => ({ default: made.ListsScreen })));
const OutScreen = lazy(() => import('./out-screen.tsx').then((made) => ({ default: made.OutScreen })));
const SaidScreen = lazy(() => import('./said-screen.tsx').then((made) => ({ default: made.SaidScreen })));
const SettingsScreen = lazy(() =>
  import('./settings-screen.tsx').then((made) => ({ default: made.SettingsScreen })),
);
const WrapSheetScreen = lazy(() =>
  import('./wrap-sheet-screen.tsx').then((made) => ({ default: made.WrapSheetScreen })),
);
const ThingScreen = lazy(() => import('./thing-screen.tsx').then((made) => ({ default: made.ThingScreen })));

export function ScreenOf({ route }: { readonly route: Route }) {
  return (
    <Suspense fallback={<p className="waiting">One moment.</p>}>
      <Chosen route={route} />
    </Suspense>
  );
}

function Chosen({ route }: { readonly route: Route }) {
  switch (route.at) {
    case 'stops':
      return <StopsScreen />;
    case 'stop':
      return <StopScreen route={route} />;
    case 'going-in':
      return <GoingInScreen route={route} />;
    case 'count':
      return <CountScreen route={route} />;
    case 'compartment':
      return <CompartmentScreen route={route} />;
    case 'line':
      return <LineScreen route={route} />;
    case 'container':
      return <ContainerScreen route={route} />;
    case 'close':
      return <CloseScreen route={route} />;
    case 'closed':
      return <ClosedScreen route={route} />;
    case 'said':
      return <SaidScreen route={route} />;
    case 'lists':
      return <ListsScreen route={route} />;
    case 'sheet':
      return <WrapSheetScreen route={route} />;
    case 'out':
      return <OutScreen />;
    case 'find':
      return <FindScreen route={route} />;
    case 'thing':
      return <ThingScreen route={route} />;
    case 'settings':
      return <SettingsScreen />;
    case 'drawer':
      return <DrawerScreen />;
    case 'label-walk':
      return <LabelWalkScreen route={route} />;
  }
}
