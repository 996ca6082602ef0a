// 'Not sent yet': always in sight while anything waits.
import { sendWaiting, throwAway } from "./events";
import { queue, t } from "./state";
import { Link } from "./parts";

export function QueueNote() {
  const waiting = queue.value;
  if (waiting.length === 0) return null;
  return (
    <div class="queue-note" role="status">
      <Link to="/settings">{t("pages.queue.waiting", { n: waiting.length })}</Link>
      <button type="button" class="button button-quiet" onClick={() => void sendWaiting()}>{t("pages.queue.send")}</button>
    </div>
  );
}

export function QueueList() {
  const waiting = queue.value;
  if (waiting.length === 0) return <p class="queue-none">{t("pages.queue.none")}</p>;
  return (
    <section class="queue" aria-labelledby="queue-title">
      <h2 id="queue-title">{t("pages.queue.waiting", { n: waiting.length })}</h2>
      <p>{t("pages.queue.explain")}</p>
      <ul>
        {waiting.map((item) => (
          <li>
            {item.told}
            {item.refused !== undefined && (
              <>
                <p class="warning">{t("pages.queue.refused", { reason: item.refused })}</p>
                <button type="button" class="button" onClick={() => void throwAway(item.id)}>{t("pages.queue.let_go")}</button>
              </>
            )}
          </li>
        ))}
      </ul>
      <button type="button" class="button" onClick={() => void sendWaiting()}>{t("pages.queue.send")}</button>
    </section>
  );
}
