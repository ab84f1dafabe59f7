// npm run build: builds as npm start does, so that the built program can be run directly.
import { prepare } from './prepare.mjs';
import { onSupportedNode } from './supported-node.mjs';

if (await onSupportedNode()) prepare();
