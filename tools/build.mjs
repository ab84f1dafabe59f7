// npm run build: as npm start does it, so that the program it makes can be run as it stands.
import { prepare } from './prepare.mjs';
import { onSupportedNode } from './supported-node.mjs';

if (await onSupportedNode()) prepare();
