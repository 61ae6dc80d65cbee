// The screen of each route.

import { CloseScreen } from './close-screen.tsx';
import { ClosedScreen } from './closed-screen.tsx';
import { CompartmentScreen } from './compartment-screen.tsx';
import { ContainerScreen } from './container-screen.tsx';
import { CountScreen } from './count-screen.tsx';
import { DrawerScreen } from './drawer-screen.tsx';
import { FindScreen } from './find-screen.tsx';
import { GoingInScreen } from './going-in-screen.tsx';
import { LineScreen } from './line-screen.tsx';
import { ListsScreen } from './lists-screen.tsx';
import { OutScreen } from './out-screen.tsx';
import type { Route } from './route.ts';
import { SaidScreen } from './said-screen.tsx';
import { SettingsScreen } from './settings-screen.tsx';
import { StopScreen } from './stop-screen.tsx';
import { StopsScreen } from './stops-screen.tsx';
import { ThingScreen } from './thing-screen.tsx';

export function ScreenOf({ route }: { readonly route: Route }) {
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
  }
}
