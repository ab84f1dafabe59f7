/** A heap that returns the item with the smallest floor first. */
export function risingQueue<T>() {
  const heap: { item: T; floor: number }[] = [];
  return {
    put(item: T, floor: number): void {
      const own = { item, floor };
      let at = heap.length;
      while (at > 0) {
        const above = (at - 1) >> 1;
        if (heap[above].floor <= floor) break;
        heap[at] = heap[above];
        at = above;
      }
      heap[at] = own;
    },
    take(): { item: T; floor: number } | undefined {
      const taken = heap[0];
      const own = heap.pop();
      if (own === undefined || heap.length === 0) return taken;
      let at = 0;
      for (;;) {
        let child = 2 * at + 1;
        if (child >= heap.length) break;
        if (child + 1 < heap.length && heap[child + 1].floor < heap[child].floor) child++;
        if (heap[child].floor >= own.floor) break;
        heap[at] = heap[child];
        at = child;
      }
      heap[at] = own;
      return taken;
    },
  };
}
