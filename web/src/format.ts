// Numbers, days and times as the reader's language writes them. Sentences come ready from the server; these are the few figures
// that the pages draw themselves.

export type Language = "en" | "es";

export const metresPerFoot = 0.3048;

// Spanish as written in Mexico and the United States keeps the decimal point.
const locales: Record<Language, string> = { en: "en-US", es: "es-MX" };

// Two figures at most, and never 0 for something that isn't nothing: about 0.4, 1.2, 12, 40.
export function about(value: number, language: Language): string {
  if (!Number.isFinite(value)) return "?";
  if (value === 0) return "0";
  const size = Math.abs(value);
  if (size < 0.05) return `<${(0.05).toLocaleString(locales[language])}`;
  const figures = size < 1 ? 1 : 2;
  return Number(value.toPrecision(figures)).toLocaleString(locales[language], { maximumFractionDigits: size < 10 ? 1 : 0 });
}

// On an axis: as it is.
export function tick(value: number, language: Language): string {
  return value.toLocaleString(locales[language], { maximumSignificantDigits: 3 });
}

// Monday 1 … Sunday 7, by the calendar alone: a day stays itself wherever the reader is.
export function weekday(iso: string): number {
  return new Date(`${iso.slice(0, 10)}T12:00:00Z`).getUTCDay() || 7;
}

export function monthAndWeekday(iso: string, language: Language): { month: string; weekday: string } {
  const date = new Date(`${iso.slice(0, 10)}T12:00:00Z`);
  const long = (options: Intl.DateTimeFormatOptions) => new Intl.DateTimeFormat(locales[language], { ...options, timeZone: "UTC" }).format(date);
  return { month: long({ month: "long" }), weekday: long({ weekday: "long" }) };
}

// The clock at the garden, as written in the time itself, not the reader's own; 24 hours, as the server's sentences have it.
export function time(iso: string): string {
  return iso.slice(11, 16);
}

export function addDays(iso: string, days: number): string {
  const date = new Date(`${iso.slice(0, 10)}T12:00:00Z`);
  date.setUTCDate(date.getUTCDate() + days);
  return date.toISOString().slice(0, 10);
}

export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to.slice(0, 10)}T12:00:00Z`) - Date.parse(`${from.slice(0, 10)}T12:00:00Z`)) / 86_400_000);
}

// A template of the word catalogue: {name}, {Name} with a capital, {n?one|many}. The small language of words/catalogue.hpp.
export function fill(template: string, facts: Record<string, string | number>): string {
  let out = "";
  let at = 0;
  while (at < template.length) {
    const open = template.indexOf("{", at);
    if (open < 0) return out + template.slice(at);
    out += template.slice(at, open);
    let depth = 0;
    let close = open;
    for (; close < template.length; close++) {
      if (template[close] === "{") depth++;
      if (template[close] === "}" && --depth === 0) break;
    }
    out += fillSlot(template.slice(open + 1, close), facts);
    at = close + 1;
  }
  return out;
}

function fillSlot(slot: string, facts: Record<string, string | number>): string {
  const question = slot.indexOf("?");
  const written = question < 0 ? slot : slot.slice(0, question);
  const name = written.charAt(0).toLowerCase() + written.slice(1);
  const value = facts[name];
  if (value === undefined) return `⟦${name}⟧`;
  const text = String(value);
  if (question < 0) return written === name ? text : text.charAt(0).toUpperCase() + text.slice(1);
  const sides = slot.slice(question + 1);
  let depth = 0;
  let bar = 0;
  for (; bar < sides.length; bar++) {
    if (sides[bar] === "{") depth++;
    if (sides[bar] === "}") depth--;
    if (depth === 0 && sides[bar] === "|") break;
  }
  return fill(text === "1" ? sides.slice(0, bar) : sides.slice(bar + 1), facts);
}
