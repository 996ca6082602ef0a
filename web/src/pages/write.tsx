// The page one writes from, and the way to each form.
import { Failure, Link, Loading } from "../parts";
import { FormHead } from "../form_parts";
import { maySee } from "../may";
import { t } from "../state";
import { useAnswer } from "../use";
import type { GardenView } from "../types";
import { AgencyPage } from "./agency";
import { CountPage } from "./count";
import { HarvestPage } from "./harvest";
import { OutsidePage } from "./outside";
import { PlanPage } from "./plan";
import { PlantingPage } from "./planting";
import { ReleasePage } from "./release";
import { SprayPage } from "./spray";
import { WithdrawPage } from "./withdraw";
import { WorkPage } from "./work";
import { PestGlyph } from "../glyphs";
import { Basket, Hand, LabelCard, OpenLock, Seedling } from "../glyphs/work";
import type { JSX } from "preact";

function Menu({ garden }: { garden: GardenView }) {
  const one = (what: string, glyph: JSX.Element) => maySee(`/write/${what}`) && (
    <li>
      <Link to={`/write/${what}`} class="menu-one">
        {glyph}
        <span><strong>{t(`pages.write.${what}`)}</strong><span class="menu-hint">{t(`pages.write.${what}_hint`)}</span></span>
      </Link>
    </li>
  );
  return (
    <div class="form">
      <FormHead title={t("pages.write.title")} garden={garden} />
      <ul class="menu">
        {one("count", <PestGlyph pest="imported-cabbageworm" stage="larva-5" />)}
        {one("planting", <Seedling />)}
        {one("work", <Hand />)}
        {one("harvest", <Basket />)}
        {one("spray", <LabelCard />)}
        {one("release", <OpenLock />)}
      </ul>
    </div>
  );
}

export function WritePage({ what }: { what: string }) {
  const answer = useAnswer<GardenView>("/api/garden");
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const garden = answer.value;
  switch (what) {
    case "menu": return <Menu garden={garden} />;
    case "count": return <CountPage garden={garden} />;
    case "planting": return <PlantingPage garden={garden} />;
    case "harvest": return <HarvestPage garden={garden} />;
    case "spray": return <SprayPage garden={garden} />;
    case "plan": return <PlanPage garden={garden} />;
    case "work": return <WorkPage garden={garden} />;
    case "withdraw": return <WithdrawPage garden={garden} />;
    case "outside-label": return <OutsidePage garden={garden} />;
    case "agency": return <AgencyPage garden={garden} />;
    case "release": return <ReleasePage garden={garden} />;
    default: return <p class="failure">{t("pages.error.not_found")}</p>;
  }
}
