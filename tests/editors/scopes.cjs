// Reads file names from standard input as JSON, prints for each the scopes that the TextMate grammar gives: by line,
// [start, end, scope] in UTF-16 units, the innermost scope of each.
const fs = require("fs"), path = require("path");
const onig = require("vscode-oniguruma"), textmate = require("vscode-textmate");
const [grammar] = process.argv.slice(2);

async function main() {
  const wasm = fs.readFileSync(path.join(path.dirname(require.resolve("vscode-oniguruma")), "onig.wasm"));
  await onig.loadWASM(wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength));
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new onig.OnigScanner(patterns),
      createOnigString: (text) => new onig.OnigString(text),
    }),
    loadGrammar: async () => textmate.parseRawGrammar(fs.readFileSync(grammar, "utf8"), grammar),
  });
  const made = await registry.loadGrammar("source.turnchain");
  const found = JSON.parse(fs.readFileSync(0, "utf8")).map((file) => {
    let state = textmate.INITIAL;
    return fs.readFileSync(file, "utf8").split("\n").map((line) => {
      const read = made.tokenizeLine(line, state);
      state = read.ruleStack;
      return read.tokens.map((token) => [token.startIndex, token.endIndex, token.scopes[token.scopes.length - 1]]);
    });
  });
  process.stdout.write(JSON.stringify(found));
}
main();
