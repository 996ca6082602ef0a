// The lines of 'today': one that is work can be written down as done from here.
import { mayDo } from "../may";
import { Link } from "../parts";
import { t } from "../state";
import type { Sentence } from "../types";
import { workAddress, workOf } from "./work";

export function TodoList({ lines, bed }: { lines: Sentence[]; bed: string }) {
  return (
    <ul class="todo">
      {lines.map((one) => {
        const work = mayDo("write_work") ? workOf(one.code) : null;
        return (
          <li>
            {one.text}
            {work !== null && <> <Link class="done-link" to={workAddress(bed, work)}>{t("pages.brief.done")}<span class="sr-only">: {one.text}</span></Link></>}
          </li>
        );
      })}
    </ul>
  );
}
