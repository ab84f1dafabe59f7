import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** The file that takes longest comes first: begun last, others would have ended long before. */
const FIRST = 'page-access.test.ts';

/**
 * Order of the files of a run: those that drive a browser are spread among those that compute, so that one
 * computes while another waits for its page. Files that share a worker come last, one after the other.
 */
export default class MixedOrder extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const of = (name: string) => sorted.filter(({ project }) => project.name === name);
    const [pages, programs] = [of('page'), of('program')];
    const places = [pages, programs].flatMap((list) =>
      list.map((file, i) => ({ file, place: (i + 0.5) / list.length })),
    );
    const mixed = places.sort((one, other) => one.place - other.place).map(({ file }) => file);
    mixed.sort((one, other) => Number(isFirst(other)) - Number(isFirst(one)));
    const rest = sorted.filter((file) => !mixed.includes(file));
    return [...mixed, ...rest];
  }
}

const isFirst = ({ moduleId }: TestSpecification) => moduleId.endsWith(FIRST);
