// What this device may do, as the server last told. Pages leave out what a role doesn't have; the server refuses it in any case.
import { t } from "./state";
import { me } from "./sync";

export type Action = "see_board" | "see_records" | "see_garden" | "write" | "write_count" | "write_work" | "write_harvest" | "treat" | "lay_out" | "release_bed" | "manage_people";

// Until it is known who this is, nothing is left out: without a signal a page must not lose its buttons.
export function mayDo(action: Action): boolean {
  return me.value === null || me.value.may.includes(action);
}

export function isLead(): boolean {
  return mayDo("manage_people");
}

// Whoever wrote an entry may put it right, and a lead.
export function mayPutRight(by: string): boolean {
  return isLead() || me.value?.person === by;
}

const pages: [RegExp, Action][] = [
  [/^\/($|beds\/|seasons|weather|outlook|cards)/, "see_garden"],
  [/^\/board$/, "see_board"],
  [/^\/records$/, "see_records"],
  [/^\/people$/, "manage_people"],
  [/^\/write\/count$/, "write_count"],
  [/^\/write\/work$/, "write_work"],
  [/^\/write\/harvest$/, "write_harvest"],
  [/^\/write\/(planting|agency)$/, "lay_out"],
  [/^\/write\/(spray|plan|outside-label)$/, "treat"],
  [/^\/write\/release$/, "release_bed"],
  [/^\/write\//, "write"],
];

export function maySee(path: string): boolean {
  const found = pages.find(([pattern]) => pattern.test(path));
  return found === undefined || mayDo(found[1]);
}

export function roleName(role: string): string {
  return t(`access.role.${role}`);
}
