// The shed board: one sheet for everyone, on the screen and on paper.
import { AnswerWord, Cautions, Failure, Loading, Masthead, OldNote } from "../parts";
import { PrintLink } from "./records";
import { dayAndTime, longDay, t } from "../state";
import { unjudgedHere } from "../sync";
import { isOld, useLive } from "../use";
import type { Board, BoardRow } from "../types";

// What was sprayed and written down on this device, and not judged yet, closes its bed here before the garden knows.
export function closedHere(row: BoardRow): BoardRow {
  const product = unjudgedHere(row.bed);
  if (product === null) return row;
  return { ...row, pick: "no", enter: "no", until: null, text: `${t("pages.sync.not_judged", { bed: row.bed })} ${t("pages.sync.not_judged_why", { product })}` };
}

export function BoardPage() {
  const answer = useLive<Board>("/api/board");
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const board = answer.value;
  const old = isOld(answer.at);
  return (
    <div class="sheet">
      <Masthead title={t("pages.board.title")} garden={board.garden} marked={board.marked} at={board.at} />
      <OldNote at={answer.at} />
      <p class="sheet-day">{t("pages.board.for_day", { day: longDay(board.at) })}</p>
      <p class="screen-only"><button type="button" class="button" onClick={() => window.print()}>{t("pages.board.print")}</button> <PrintLink name="board.pdf" asked={{}}>{t("pages.records.board_pdf")}</PrintLink> <PrintLink name="sign.pdf" asked={{}}>{t("pages.records.signs")}</PrintLink></p>
      <table class="board">
        <thead>
          <tr>
            <th scope="col">{t("pages.board.bed")}</th>
            <th scope="col">{t("pages.board.pick")}</th>
            <th scope="col">{t("pages.board.enter")}</th>
            <th scope="col">{t("pages.board.until")}</th>
          </tr>
        </thead>
        <tbody>
          {board.board.map((told) => closedHere(told)).map((row) => (
            <tr class={row.pick === "yes" && row.enter === "yes" ? "board-free" : "board-held"}>
              <th scope="row"><span class="board-bed">{row.bed}</span> <span class="board-crop">{row.crop_name ?? t("pages.common.empty_bed")}</span></th>
              <td><AnswerWord answer={row.pick} about="pick" old={old} /></td>
              <td><AnswerWord answer={row.enter} about="enter" old={old} /></td>
              <td>{row.until !== null && row.until !== "unknown" ? dayAndTime(row.until) : ""}{(row.pick !== "yes" || row.enter !== "yes") && <span class="board-why">{row.text}</span>}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="sheet-note">{t("pages.board.note")}</p>
      <Cautions cautions={board.cautions} />
      <p class="print-only">{t("pages.board.printed")}</p>
    </div>
  );
}
