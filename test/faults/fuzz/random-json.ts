import { type Chance, NASTY } from './random.ts';

/** As much of JSON Schema as the OpenAPI document uses. */
export interface Schema {
  readonly $ref?: string;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly allOf?: readonly Schema[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly items?: Schema;
  readonly prefixItems?: readonly Schema[];
  readonly minItems?: number;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly format?: string;
  readonly pattern?: string;
  readonly maxLength?: number;
}

export interface Known {
  readonly schemas: Readonly<Record<string, Schema>>;
  /** Ids that are there, so that a call may hit. */
  readonly ids: readonly string[];
}

/** A value that fits a schema, as far as it goes. */
export function fitting(schema: Schema, known: Known, chance: Chance, depth = 0): unknown {
  if (schema.$ref !== undefined) {
    const name = schema.$ref.replace('#/components/schemas/', '');
    return fitting(known.schemas[name] ?? {}, known, chance, depth + 1);
  }
  const branches = schema.anyOf ?? schema.oneOf;
  if (branches !== undefined) return fitting(chance.pick(branches), known, chance, depth + 1);
  if (schema.allOf !== undefined) return fitting(chance.pick(schema.allOf), known, chance, depth);
  if (schema.const !== undefined) return schema.const;
  if (schema.enum !== undefined) return chance.pick(schema.enum);
  switch (schema.type) {
    case 'object': {
      const needed = new Set(schema.required ?? []);
      const entries = Object.entries(schema.properties ?? {})
        .filter(([name]) => needed.has(name) || (depth < 6 && chance.maybe(0.3)))
        .map(([name, of]) => [name, fitting(of, known, chance, depth + 1)]);
      return Object.fromEntries(entries);
    }
    case 'array': {
      if (schema.prefixItems !== undefined) {
        return schema.prefixItems.map((item) => fitting(item, known, chance, depth + 1));
      }
      const count = (schema.minItems ?? 0) + chance.below(depth > 5 ? 1 : 4);
      return Array.from({ length: count }, () =>
        fitting(schema.items ?? {}, known, chance, depth + 1),
      );
    }
    case 'integer':
    case 'number': {
      const low = Math.max(schema.minimum ?? -1000, -1e6);
      const high = Math.min(schema.maximum ?? 1000, 1e6);
      const value = chance.pick([low, high, low + (high - low) * chance.next()]);
      return schema.type === 'integer' ? Math.round(value) : value;
    }
    case 'boolean':
      return chance.maybe(0.5);
    case 'string':
      return text(schema, known, chance);
    default:
      return null;
  }
}

function text({ format, pattern, maxLength }: Schema, known: Known, chance: Chance): string {
  if (format === 'date') return `20${10 + chance.below(30)}-0${1 + chance.below(9)}-15`;
  if (format === 'date-time') return '2026-01-05T10:12:00.000Z';
  if (pattern?.includes('A-Z]{3}') === true) return 'EUR';
  if (pattern?.includes('0-9a-f]{64}') === true) return 'ab'.repeat(32);
  if (maxLength === 80) {
    return chance.maybe(0.7) ? chance.pick(known.ids) : `n-${chance.below(5000)}`;
  }
  if (pattern?.startsWith('^[\\x21') === true) return `k-${chance.below(1000)}`;
  return chance.pick(['Kelp', 'Foam', 'Sea moss', `C${chance.below(500)}`, '½ ö 🦑', 'x y z']);
}

const ODD: readonly unknown[] = [
  null,
  true,
  0,
  -1,
  1e308,
  1e-320,
  2 ** 53,
  [],
  {},
  [[[[[[]]]]]],
  { __proto__: null, constructor: 1 },
  ...NASTY,
];

/** The same with something in it that does not fit. */
export function spoilt(value: unknown, chance: Chance): unknown {
  const at = chance.below(4);
  if (at === 0 || typeof value !== 'object' || value === null) return chance.pick(ODD);
  if (Array.isArray(value)) {
    if (value.length === 0 || at === 1) return [...value, chance.pick(ODD)];
    if (at === 2) return Array.from({ length: 1 + chance.below(200) }, () => value[0]);
    const which = chance.below(value.length);
    return value.map((item, i) => (i === which ? spoilt(item, chance) : item));
  }
  const names = Object.keys(value);
  if (names.length === 0 || at === 1) return { ...value, [chance.pick(NASTY)]: chance.pick(ODD) };
  const which = chance.pick(names);
  const { [which]: inner, ...rest } = value as Record<string, unknown>;
  return at === 2 ? rest : { ...rest, [which]: spoilt(inner, chance) };
}
