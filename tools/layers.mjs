// Runs the layer rule and refuses a run that looked at nothing.
import { readdirSync } from 'node:fs';
import { cruise } from 'dependency-cruiser';
import extractTsConfig from 'dependency-cruiser/config-utl/extract-ts-config';
import rules from '../.dependency-cruiser.mjs';

const { output } = await cruise(
  ['src', 'bench', 'test'],
  { ...rules.options, ruleSet: { forbidden: rules.forbidden, allowed: [] }, validate: true },
  undefined,
  { tsConfig: extractTsConfig('tsconfig.json') },
);
const { violations, totalCruised } = output.summary;
for (const v of violations) console.error(`${v.rule.name}: ${v.from} -> ${v.to}`);
// A compiler the tool does not know makes it see next to no modules and report success.
const ownModules = output.modules.filter((m) => m.source.startsWith('src/')).length;
const ownFiles = readdirSync('src', { recursive: true }).filter((name) => /\.tsx?$/.test(name));
if (ownModules < ownFiles.length) {
  console.error(
    `layers: of ${ownFiles.length} modules of src/ only ${ownModules} were read; the check proves nothing`,
  );
  process.exit(1);
}
console.log(
  `layers: ${ownModules} modules of src/ (${totalCruised} seen), ${violations.length} violations`,
);
process.exit(violations.length === 0 ? 0 : 1);
