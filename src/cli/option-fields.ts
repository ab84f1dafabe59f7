import { z } from 'zod';
import type { FieldReader, FieldWords } from '../verbs/verb.ts';

type FieldPath = readonly [string, ...string[]];

/** One thing that a call may say, as the schema of the call has it. */
export interface OptionField {
  /** Where its value stands in the call. */
  readonly path: FieldPath;
  readonly help: string;
  readonly option?: string;
  readonly value?: string;
  readonly example?: string;
  readonly noun?: string;
  readonly reads?: FieldReader;
  readonly file?: FieldWords['file'];
  readonly operand?: string;
  readonly kind: 'switch' | 'number' | 'choice' | 'names' | 'text';
  /** More than one value may be given. */
  readonly many: boolean;
  readonly low: number;
  readonly high: number;
  readonly whole: boolean;
  readonly choices: readonly (string | number)[];
  /** The default of the option. */
  readonly fallback?: string | number;
  readonly required: boolean;
}

const nodeSchema = z.looseObject({
  $ref: z.string().optional(),
  type: z.string().optional(),
  enum: z.array(z.union([z.string(), z.number()])).optional(),
  const: z.unknown().optional(),
  properties: z.record(z.string(), z.unknown()).optional(),
  required: z.array(z.string()).optional(),
  items: z.unknown().optional(),
  minimum: z.number().optional(),
  maximum: z.number().optional(),
  default: z.unknown().optional(),
  description: z.string().optional(),
  'x-option': z.string().optional(),
  'x-value': z.string().optional(),
  'x-example': z.string().optional(),
  'x-noun': z.string().optional(),
  'x-reads': z.custom<FieldReader>((word) => typeof word === 'string').optional(),
  'x-operand': z.string().optional(),
  'x-file': z.custom<FieldWords['file']>((file) => typeof file === 'object').optional(),
});
type Node = z.output<typeof nodeSchema>;

/** Everything a call may say, in the order of its schema; fields inside of fields are flat. */
export function optionFields(call: z.ZodObject): readonly OptionField[] {
  const root = z.toJSONSchema(call, { io: 'input', unrepresentable: 'any' });
  const definitions = root.$defs ?? {};
  const nodeOf = (raw: unknown): Node => {
    const { $ref, ...own } = nodeSchema.parse(typeof raw === 'object' ? (raw ?? {}) : {});
    return $ref === undefined ? own : { ...nodeOf(definitions[$ref.split('/').at(-1)!]), ...own };
  };
  const walk = (node: Node, pathOf: (key: string) => FieldPath): OptionField[] =>
    Object.entries(node.properties ?? {}).flatMap(([key, raw]) => {
      const child = nodeOf(raw);
      const at = pathOf(key);
      const named = child['x-option'] ?? child['x-file'] ?? child['x-operand'];
      if (named === undefined) {
        return child.properties === undefined ? [] : walk(child, (inner) => [...at, inner]);
      }
      return [fieldOf(child, at, node.required?.includes(key) === true)];
    });
  return walk(nodeOf(root), (key) => [key]);

  function fieldOf(node: Node, path: FieldPath, required: boolean): OptionField {
    const many = node.type === 'array';
    const one = many ? nodeOf(node.items) : node;
    const { default: fallback } = node;
    return {
      path,
      help: node.description ?? '',
      ...defined('option', node['x-option']),
      ...defined('value', node['x-value']),
      ...defined('example', node['x-example']),
      ...defined('noun', node['x-noun']),
      ...defined('reads', node['x-reads']),
      ...defined('file', node['x-file']),
      ...defined('operand', node['x-operand']),
      kind: kindOf(one, many),
      many,
      low: one.minimum ?? Number.NEGATIVE_INFINITY,
      high: one.maximum ?? Number.POSITIVE_INFINITY,
      whole: one.type === 'integer',
      choices: one.enum ?? [],
      ...(typeof fallback === 'string' || typeof fallback === 'number' ? { fallback } : {}),
      required,
    };
  }
}

function kindOf(one: Node, many: boolean): OptionField['kind'] {
  if (one.enum !== undefined) return 'choice';
  if (one.type === 'boolean') return 'switch';
  if (one.type === 'number' || one.type === 'integer') return 'number';
  return many && one.type === 'string' ? 'names' : 'text';
}

function defined<K extends string, V>(key: K, value: V | undefined): { [P in K]?: V } {
  return (value === undefined ? {} : { [key]: value }) as { [P in K]?: V };
}
