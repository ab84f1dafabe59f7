import { z } from 'zod';
import { BOOK_BODIES, type BookKind } from './record.ts';

/** One field of a body as a flat table or a list of words names it. */
export interface BodyField {
  /** `name`, `price.minor`, `of.kind`: objects are opened, lists are not. */
  readonly path: string;
  /** `text` stands as it is; everything else as JSON: numbers, yes and no, lists. */
  readonly as: 'text' | 'json';
  readonly needed: boolean;
  /** The words it may be, where they are few. */
  readonly words?: readonly string[];
}

interface Shape {
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Shape>>;
  readonly required?: readonly string[];
  readonly anyOf?: readonly Shape[];
  readonly oneOf?: readonly Shape[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
}

const made = new Map<BookKind, readonly BodyField[]>();
/** Empty: names that the API gives to the shapes must not put a reference in the place of a shape. */
const UNNAMED = z.registry<z.core.GlobalMeta>();

/**
 * Fields of a kind of record, in the order of its shape; taken from the shape itself, so that a new
 * field is in every table the day it is in the book.
 * Holds:   every path once
 */
export function fieldsOf(kind: BookKind): readonly BodyField[] {
  const known = made.get(kind);
  if (known !== undefined) return known;
  const shape = z.toJSONSchema(BOOK_BODIES[kind], { io: 'input', metadata: UNNAMED }) as Shape;
  const fields = [...opened(shape, '', true).values()];
  made.set(kind, fields);
  return fields;
}

function opened(shape: Shape, prefix: string, needed: boolean): Map<string, BodyField> {
  const fields = new Map<string, BodyField>();
  const choices = shape.anyOf ?? shape.oneOf ?? [shape];
  for (const choice of choices) {
    for (const [name, inner] of Object.entries(choice.properties ?? {})) {
      const path = `${prefix}${name}`;
      const must = needed && choices.length === 1 && (choice.required ?? []).includes(name);
      const objects = (inner.anyOf ?? inner.oneOf ?? [inner]).every(
        ({ type }) => type === 'object',
      );
      if (objects) {
        for (const [at, field] of opened(inner, `${path}.`, must)) fields.set(at, field);
        continue;
      }
      const before = fields.get(path)?.words;
      const here = inner.enum ?? (inner.const === undefined ? undefined : [inner.const]);
      const words = here === undefined ? undefined : [...(before ?? []), ...here.map(String)];
      fields.set(path, {
        path,
        as: inner.type === 'string' ? 'text' : 'json',
        needed: must,
        ...(words === undefined ? {} : { words }),
      });
    }
  }
  return fields;
}

/** What a body says at a path; undefined where it says nothing. */
export function valueAt(body: unknown, path: string): unknown {
  return path
    .split('.')
    .reduce<unknown>(
      (inner, name) =>
        typeof inner === 'object' && inner !== null && Object.hasOwn(inner, name)
          ? (inner as Record<string, unknown>)[name]
          : undefined,
      body,
    );
}

/** A body out of its fields. Holds: `valueAt` gives each of them back */
export function bodyFrom(values: ReadonlyMap<string, unknown>): Record<string, unknown> {
  const body: Record<string, unknown> = {};
  for (const [path, value] of values) {
    const names = path.split('.');
    const last = names.pop()!;
    let inner = body;
    for (const name of names) {
      if (!Object.hasOwn(inner, name)) inner[name] = {};
      inner = inner[name] as Record<string, unknown>;
    }
    inner[last] = value;
  }
  return body;
}
