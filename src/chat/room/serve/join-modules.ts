/** Joins the page's modules into one script, so that a phone fetches one file instead of dozens. */

const IMPORT = /^import \{([^}]*)\} from "\.\/([\w-]+)\.js";$/gm;
const EXPORT = /^export (?=(?:async function|function|class|const) ([\w$]+))/gm;
const ANY_LEFT = /^(?:import|export)\b.*$/m;

/**
 * One script in place of modules that import one another: each becomes a function that hands out what it
 * exported, in the order in which they need each other.
 * @param modules text of each by name without ".js"; each imports and exports by name only, in the compiler's form
 * @param entry the one that runs the page; what it does not reach is left out
 * @throws {Error} naming the module that is missing, imports in a circle, or uses another form
 */
export function joinModules(modules: ReadonlyMap<string, string>, entry: string): string {
  const parts: string[] = [];
  const state = new Map<string, "begun" | "done">();
  const visit = (name: string): void => {
    if (state.get(name) === "done") return;
    if (state.get(name) === "begun") throw new Error(`page module ${name} imports itself in a circle`);
    const text = modules.get(name);
    if (text === undefined) throw new Error(`page module ${name} is missing`);
    state.set(name, "begun");
    for (const [, , needed] of text.matchAll(IMPORT)) visit(needed as string);
    state.set(name, "done");
    parts.push(asFunction(name, text));
  };
  visit(entry);
  return parts.join("\n");
}

function asFunction(name: string, text: string): string {
  const exported = [...text.matchAll(EXPORT)].map(([, each]) => each as string);
  const body = text
    .replace(IMPORT, (_, names: string, from: string) => {
      return `const {${names.replace(/\b([\w$]+) as ([\w$]+)/g, "$1: $2")}} = ${variableFor(from)};`;
    })
    .replace(EXPORT, "");
  const left = ANY_LEFT.exec(body);
  if (left) throw new Error(`page module ${name} cannot be joined: ${left[0]}`);
  return `const ${variableFor(name)} = (() => {\n${body}\nreturn { ${exported.join(", ")} };\n})();`;
}

function variableFor(name: string): string {
  return `$${name.replace(/-/g, "_")}`;
}
