import ts from 'typescript';

/** What a reader of the code or of the program sees of a source file, one piece each. */
export interface SourceText {
  readonly kind: 'comment' | 'string' | 'name';
  readonly text: string;
  readonly line: number;
  readonly start: number;
  readonly end: number;
}

/** Comments, string literals, JSX texts and declared names of a TypeScript or JavaScript file. */
export function sourceTexts(path: string, code: string): SourceText[] {
  const file = ts.createSourceFile(path, code, ts.ScriptTarget.Latest, true);
  const found: SourceText[] = [];
  const add = (kind: SourceText['kind'], start: number, end: number, text: string) => {
    const line = file.getLineAndCharacterOfPosition(start).line + 1;
    found.push({ kind, text, line, start, end });
  };

  const comments = new Map<number, number>();
  const visit = (node: ts.Node): void => {
    if (node.kind < ts.SyntaxKind.FirstNode && !ts.isJsxText(node)) {
      const before = ts.getLeadingCommentRanges(code, node.pos) ?? [];
      const after = ts.getTrailingCommentRanges(code, node.end) ?? [];
      for (const { pos, end } of [...before, ...after]) comments.set(pos, end);
    }
    if (ts.isStringLiteralLike(node) || isTemplatePiece(node) || ts.isJsxText(node)) {
      if (!isModuleName(node) && node.text.trim() !== '')
        add('string', node.getStart(file), node.end, node.text);
    } else if (ts.isIdentifier(node) && isDeclared(node)) {
      add('name', node.getStart(file), node.end, node.text);
    }
    for (const child of node.getChildren(file)) if (!isDocComment(child)) visit(child);
  };
  visit(file);
  for (const [start, end] of comments) add('comment', start, end, code.slice(start, end));
  return found.sort((a, b) => a.start - b.start);
}

const isTemplatePiece = (node: ts.Node): node is ts.TemplateLiteralLikeNode =>
  ts.isTemplateHead(node) || ts.isTemplateMiddle(node) || ts.isTemplateTail(node);

const isDocComment = (node: ts.Node) =>
  node.kind >= ts.SyntaxKind.FirstJSDocNode && node.kind <= ts.SyntaxKind.LastJSDocNode;

const isModuleName = (node: ts.Node) =>
  ts.isImportDeclaration(node.parent) ||
  ts.isExportDeclaration(node.parent) ||
  ts.isImportTypeNode(node.parent?.parent);

/** A name given here, not one taken over from a package or from another file. */
function isDeclared(node: ts.Identifier): boolean {
  const { parent } = node;
  if (ts.isImportSpecifier(parent) || ts.isExportSpecifier(parent)) return false;
  return (
    (parent as Partial<ts.NamedDeclaration>).name === node && !ts.isPropertyAccessExpression(parent)
  );
}
