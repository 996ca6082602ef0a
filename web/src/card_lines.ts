// The lines of a label card in the order labels print them, how each is written in the card's file, and back. The server's reader says what is
// wrong; nothing is judged here.

export type Said = "says" | "none" | "not";
export interface Line {
  said: Said;
  value: string;
}
export type Kind = "text" | "date" | "yes_no" | "word" | "number" | "words" | "list" | "pests" | "limit" | "plant_back" | "stages";
export interface Field {
  key: string; // as in the file; of two ends `rate.min`
  kind: Kind;
  words?: string[];
  always?: true; // what ties the card to its container: no 'says none'
}
export type Block = Record<string, Line>;
export interface Draft {
  card: Block;
  actives: Block[];
  conditions: Block;
  uses: Block[];
  rest: Record<string, unknown>; // what this page has no line for is kept as it was
}

const text = (key: string): Field => ({ key, kind: "text" });
const word = (key: string, words: string[]): Field => ({ key, kind: "word", words });
const of = (kind: Kind, ...keys: string[]): Field[] => keys.map((key) => ({ key, kind }));

export const front: Field[] = [
  { key: "product", kind: "text", always: true }, { key: "registration", kind: "text", always: true }, { key: "exempt", kind: "yes_no" },
  { key: "label_version", kind: "text", always: true }, { key: "label_date", kind: "date", always: true }, { key: "expires", kind: "date" },
  { key: "restricted_use", kind: "yes_no" }, word("signal_word", ["DANGER-POISON", "DANGER", "WARNING", "CAUTION"]),
  { key: "signal_system", kind: "word", words: ["epa", "clp"], always: true }, ...of("words", "first_aid", "emergency"),
];
export const active: Field[] = [
  { key: "name", kind: "text", always: true }, { key: "content", kind: "text", always: true }, { key: "mode_of_action", kind: "text", always: true },
];
export const people: Field[] = [
  ...of("list", "ppe_handler"), { key: "agricultural_use", kind: "yes_no" }, ...of("list", "ppe_early_entry"),
  word("setting", ["residential", "agricultural", "both"]), ...of("list", "registered_in"), { key: "organic_listed", kind: "yes_no" },
  { key: "organic_lister", kind: "text", always: true },
];
export const conditions: Field[] = [
  text("bees"), ...["min_temp", "max_temp"].map(text), { key: "min_humidity", kind: "number" }, ...["min_wind", "max_wind"].map(text),
  { key: "inversion_ban", kind: "yes_no" },
  word("droplets", ["very-fine", "fine", "medium", "coarse", "very-coarse", "extremely-coarse", "ultra-coarse"]),
  ...["buffer", "water_buffer"].map(text), ...of("number", "rainfast_hours", "oil_sulfur_days"),
];
export const use: Field[] = [
  { key: "crops", kind: "list", always: true }, { key: "except", kind: "list", always: true },
  word("method", ["foliar", "soil", "chemigation", "dust", "bait", "seed"]), ...of("pests", "pests"),
  ...["rate.min", "rate.max", "water.min", "water.max"].map(text), word("adjuvant", ["required", "allowed", "banned"]),
  ...of("stages", "growth_stage"), ...of("yes_no", "bloom_ban", "greenhouse"), text("reentry_hours"),
  ...of("number", "pre_harvest_days", "feed_days", "interval_days", "max_applications", "max_consecutive"),
  ...of("limit", "max_product", "max_active"), ...of("plant_back", "plant_back"), { key: "words", kind: "words", always: true },
];
export const back: Field[] = [
  ...of("words", "storage", "disposal"), { key: "copied_by", kind: "text", always: true }, { key: "copied_on", kind: "date", always: true },
  { key: "checked_by", kind: "text", always: true }, { key: "checked_on", kind: "date", always: true },
];
const head = [...front, ...people, ...back];

export const notCopied: Line = { said: "not", value: "" };
export function blockOf(fields: Field[]): Block {
  return Object.fromEntries(fields.map((field) => [field.key, { ...notCopied }]));
}
export function emptyDraft(): Draft {
  return { card: blockOf(head), actives: [blockOf(active)], conditions: blockOf(conditions), uses: [blockOf(use)], rest: {} };
}

const none = "none-stated";
const quoted = (value: string): string => JSON.stringify(value);
const parts = (value: string): string[] => value.split(/[,;\n]/).map((part) => part.trim()).filter((part) => part !== "");
const figure = (value: string): string => (/^[0-9]+([.,][0-9]+)?$/.test(value.trim()) ? value.trim().replace(",", ".") : quoted(value.trim()));

// A line's value as TOML. What can't be split as its kind wants goes as text, and the reader says what it wants.
function written(kind: Kind, given: string): string {
  const value = given.trim();
  if (kind === "yes_no") return value === "yes" ? "true" : "false";
  if (kind === "date") return /^\d{4}-\d{2}-\d{2}$/.test(value) ? value : quoted(value);
  if (kind === "number") return figure(value);
  if (kind === "list") return `[${parts(value).map(quoted).join(", ")}]`;
  if (kind === "stages") {
    const ends = /^(\d+)\s*[-–]\s*(\d+)$/.exec(value);
    return ends === null ? quoted(value) : `[${ends[1] ?? ""}, ${ends[2] ?? ""}]`;
  }
  if (kind === "limit") {
    const limit = /^(.*\S)\s+per\s+(application|crop|season|year)$/.exec(value);
    return limit === null ? quoted(value) : `{ amount = ${quoted(limit[1] ?? "")}, per = ${quoted(limit[2] ?? "")} }`;
  }
  if (kind === "plant_back") {
    const waits = parts(value).map((part) => /^(\S+)\s+(\d+)$/.exec(part));
    if (waits.some((wait) => wait === null)) return quoted(value);
    return `[${waits.map((wait) => `{ crop = ${quoted(wait?.[1] ?? "")}, days = ${wait?.[2] ?? ""} }`).join(", ")}]`;
  }
  if (kind === "pests") {
    const one = (part: string): string => {
      const own = /^(\S+)\s*=\s*(.+)$/.exec(part);
      return own === null ? quoted(part) : `{ pest = ${quoted(own[1] ?? "")}, rate = ${quoted(own[2] ?? "")} }`;
    };
    return `[${parts(value).map(one).join(", ")}]`;
  }
  return kind === "text" && /^[0-9]+$/.test(value) ? value : quoted(value);
}

function lineOf(field: Field, line: Line | undefined): string | null {
  if (line === undefined || line.said === "not") return null;
  if (line.said === "none") return quoted(none);
  if (line.value.trim() === "") return null;
  // A registration number or a version of digits alone is still text.
  return field.always === true && field.kind === "text" ? quoted(line.value.trim()) : written(field.kind, line.value);
}

function table(name: string, fields: Field[], block: Block): string {
  const rows: string[] = [];
  const pairs = new Map<string, string[]>();
  for (const field of fields) {
    const value = lineOf(field, block[field.key]);
    if (value === null) continue;
    const [outer, inner] = field.key.split(".");
    if (inner === undefined) rows.push(`${field.key} = ${value}`);
    else pairs.set(outer ?? "", [...(pairs.get(outer ?? "") ?? []), `${inner} = ${value}`]);
  }
  for (const [key, ends] of pairs) rows.push(`${key} = { ${ends.join(", ")} }`);
  return `${name}\n${rows.join("\n")}\n`;
}

function value(of: unknown): string {
  if (Array.isArray(of)) return `[${of.map(value).join(", ")}]`;
  if (typeof of === "object" && of !== null) return `{ ${Object.entries(of).map(([key, one]) => `${quoted(key)} = ${value(one)}`).join(", ")} }`;
  return typeof of === "string" ? quoted(of) : String(of);
}

// The card as a file; made from the whole label, so that what is left out is not copied.
export function cardText(draft: Draft): string {
  const out = [table("[card]", head, draft.card).replace("[card]\n", "[card]\nwhole = true\n")];
  for (const one of draft.actives) if (lineOf(active[0] ?? text("name"), one["name"]) !== null) out.push(table("[[active]]", active, one));
  for (const one of draft.uses) out.push(table("[[use]]", use, one));
  const said = table("[conditions]", conditions, draft.conditions);
  if (said !== "[conditions]\n\n") out.push(said);
  const rest = Object.entries(draft.rest).map(([key, one]) => `${quoted(key)} = ${value(one)}`);
  return (rest.length > 0 ? `${rest.join("\n")}\n\n` : "") + out.join("\n");
}

function shown(kind: Kind, of: unknown): string {
  if (kind === "yes_no") return of === true ? "yes" : "no";
  if (kind === "stages" && Array.isArray(of)) return of.join("-");
  if (Array.isArray(of)) {
    return of.map((one: unknown) => {
      if (typeof one !== "object" || one === null) return String(one);
      const row = one as Record<string, unknown>;
      return kind === "plant_back" ? `${String(row["crop"])} ${String(row["days"])}` : `${String(row["pest"])} = ${String(row["rate"])}`;
    }).join(", ");
  }
  if (kind === "limit" && typeof of === "object" && of !== null) {
    const limit = of as Record<string, unknown>;
    return `${String(limit["amount"])} per ${String(limit["per"])}`;
  }
  return String(of);
}

function filled(fields: Field[], from: Record<string, unknown>): Block {
  const block = blockOf(fields);
  for (const field of fields) {
    const [outer, inner] = field.key.split(".");
    const there = from[outer ?? ""];
    const one = inner === undefined ? there : typeof there === "object" && there !== null ? (there as Record<string, unknown>)[inner] : there;
    if (one === undefined) continue;
    block[field.key] = one === none ? { said: "none", value: "" } : { said: "says", value: shown(field.kind, one) };
  }
  return block;
}

// A card's lines for the form, from its file's as JSON.
export function draftOf(file: Record<string, unknown>): Draft {
  const tables = (of: unknown): Record<string, unknown>[] => (Array.isArray(of) ? of as Record<string, unknown>[] : []);
  const { card, active: actives, use: uses, conditions: said, ...rest } = file;
  // `max_temp_c = 29` and the like are shown with their unit.
  const plain: Record<string, unknown> = {};
  const units: [RegExp, string][] = [[/_c$/, "C"], [/_kmh$/, "km/h"], [/_m$/, "m"]];
  for (const [key, one] of Object.entries((said ?? {}) as Record<string, unknown>)) {
    const unit = units.find(([ending]) => ending.test(key));
    plain[unit === undefined ? key : key.replace(unit[0], "")] = unit === undefined || one === none ? one : `${String(one)}${unit[1]}`;
  }
  const draft = emptyDraft();
  return {
    card: filled(head, (card ?? {}) as Record<string, unknown>),
    actives: tables(actives).length > 0 ? tables(actives).map((one) => filled(active, one)) : draft.actives,
    conditions: filled(conditions, plain),
    uses: tables(uses).length > 0 ? tables(uses).map((one) => filled(use, one)) : draft.uses,
    rest,
  };
}

export function notCopiedIn(fields: Field[], block: Block): number {
  return fields.filter((field) => field.always !== true && block[field.key]?.said === "not").length;
}
