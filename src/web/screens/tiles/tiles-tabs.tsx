import { Link } from '@tanstack/react-router';
import { Tabs } from '../../parts/tabs.tsx';

/** The sides of Tiles: the tiles themselves, charts of them, and what was learned from them. */
export function TilesTabs() {
  return (
    <Tabs label="Tiles">
      <Link to="/tiles" activeOptions={{ exact: true }} activeProps={{ 'aria-current': 'page' }}>
        Tiles
      </Link>
      <Link to="/charts" activeProps={{ 'aria-current': 'page' }}>
        Charts
      </Link>
      <Link to="/clay-model" activeProps={{ 'aria-current': 'page' }}>
        Clay model
      </Link>
    </Tabs>
  );
}
