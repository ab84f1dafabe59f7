/** Tags as the user types them, separated by commas or #, each once. */
export function tagsFrom(text: string): string[] {
  return [
    ...new Set(
      text
        .split(/[,#]/)
        .map((tag) => tag.trim())
        .filter(Boolean),
    ),
  ];
}
