// Which drawing stands for which pest and stage.
import type { JSX } from "preact";
import type { Urgency } from "../types";
import { BeanBeetle, CucumberBeetle, FleaBeetle, RootGrub, SoilEggs, SpinyLarva } from "./beetles";
import { BarrelPatch, BronzeEggs, GreyNymph, SquashBug, StinkBug } from "./bugs";
import { BulletEgg, Caterpillar, Chrysalis, WhiteButterfly } from "./cabbageworm";
import { GreyFly, Puparium, RootMaggot, StemGrains } from "./flies";
import { BarrelEggs, HarlequinAdult, HarlequinNymph } from "./harlequin";
import { Plate, TurnedLeaf } from "./leaf";
import { Borer, BorerMoth, DiamondMoth, EarwormMoth, FlatOvals, Looping, LooperMoth, NetCocoon, RibbedDome, ScaleEggs, SlimCaterpillar, SoilChrysalis, StemEgg, StripedCaterpillar, WaspMoth } from "./moths";
import { OrangeEggs, HumpedLarva, SoilPupa, StripedBeetle } from "./potato_beetle";
import { Aphid, ClearBalls, HiddenInLeaf, SpiderMite, Thrips } from "./small";

type Group = "egg" | "young" | "grown" | "pupa" | "adult";

// `young`: the first instars, drawn smaller; `grown`: the later ones, and an immature stage that isn't told apart.
function groupOf(stage: string): Group {
  if (stage.startsWith("egg")) return "egg";
  if (stage.startsWith("pupa")) return "pupa";
  if (/^(small-|larva-[12]$|nymph-[12]$)/.test(stage)) return "young";
  return /larva|nymph/.test(stage) ? "grown" : "adult";
}

interface Drawings {
  egg: () => JSX.Element;
  immature: (young: boolean) => JSX.Element;
  pupa?: () => JSX.Element;
  adult: () => JSX.Element;
}

const drawings: Record<string, Drawings> = {
  "imported-cabbageworm": { egg: () => <BulletEgg />, immature: (young) => <Caterpillar small={young} />, pupa: () => <Chrysalis />, adult: () => <WhiteButterfly /> },
  "harlequin-bug": { egg: () => <BarrelEggs />, immature: () => <HarlequinNymph />, adult: () => <HarlequinAdult /> },
  "colorado-potato-beetle": { egg: () => <OrangeEggs />, immature: (young) => <HumpedLarva small={young} />, pupa: () => <SoilPupa />, adult: () => <StripedBeetle /> },
  "mexican-bean-beetle": { egg: () => <OrangeEggs yellow />, immature: (young) => <SpinyLarva small={young} />, adult: () => <BeanBeetle /> },
  "striped-cucumber-beetle": { egg: () => <SoilEggs yellow />, immature: (young) => <RootGrub small={young} />, pupa: () => <SoilPupa white />, adult: () => <CucumberBeetle /> },
  "crucifer-flea-beetle": { egg: () => <SoilEggs />, immature: (young) => <RootGrub small={young} />, pupa: () => <SoilPupa white />, adult: () => <FleaBeetle /> },
  "squash-bug": { egg: () => <BronzeEggs />, immature: (young) => <GreyNymph small={young} />, adult: () => <SquashBug /> },
  "brown-marmorated-stink-bug": { egg: () => <BarrelPatch />, immature: () => <StinkBug nymph />, adult: () => <StinkBug /> },
  "diamondback-moth": { egg: () => <FlatOvals />, immature: (young) => <SlimCaterpillar small={young} />, pupa: () => <NetCocoon />, adult: () => <DiamondMoth /> },
  "cabbage-looper": { egg: () => <RibbedDome />, immature: (young) => <Looping small={young} />, pupa: () => <NetCocoon />, adult: () => <LooperMoth /> },
  "corn-earworm": { egg: () => <RibbedDome />, immature: (young) => <StripedCaterpillar small={young} />, pupa: () => <SoilChrysalis />, adult: () => <EarwormMoth /> },
  "european-corn-borer": { egg: () => <ScaleEggs />, immature: (young) => <Borer dots small={young} />, adult: () => <BorerMoth /> },
  "squash-vine-borer": { egg: () => <StemEgg />, immature: () => <Borer dots={false} />, pupa: () => <SoilChrysalis />, adult: () => <WaspMoth /> },
  "cabbage-maggot": { egg: () => <StemGrains />, immature: (young) => <RootMaggot small={young} />, pupa: () => <Puparium />, adult: () => <GreyFly /> },
  "seedcorn-maggot": { egg: () => <SoilEggs />, immature: (young) => <RootMaggot small={young} />, pupa: () => <Puparium />, adult: () => <GreyFly /> },
  "cabbage-aphid": { egg: () => <Aphid waxed young />, immature: () => <Aphid waxed young />, adult: () => <Aphid waxed young={false} /> },
  "green-peach-aphid": { egg: () => <Aphid waxed={false} young />, immature: () => <Aphid waxed={false} young />, adult: () => <Aphid waxed={false} young={false} /> },
  "onion-thrips": { egg: () => <HiddenInLeaf />, immature: () => <Thrips winged={false} />, pupa: () => <Thrips winged={false} />, adult: () => <Thrips winged /> },
  "two-spotted-spider-mite": { egg: () => <ClearBalls />, immature: () => <SpiderMite young />, adult: () => <SpiderMite young={false} /> },
};

const codes: Record<string, string> = { MURGHI: "harlequin-bug", PIERRA: "imported-cabbageworm", LPTNDE: "colorado-potato-beetle" };

export function PestGlyph({ pest, stage = "" }: { pest: string; stage?: string }) {
  const drawn = drawings[codes[pest] ?? pest];
  if (drawn === undefined) return <TurnedLeaf />;
  const group = groupOf(stage);
  if (group === "egg") return drawn.egg();
  if (group === "pupa") return drawn.pupa?.() ?? <TurnedLeaf />;
  return group === "adult" ? drawn.adult() : drawn.immature(group === "young");
}

// Urgency is said in words; the mark beside it differs in shape, not only in colour.
export function Mark({ urgency }: { urgency: Urgency }) {
  switch (urgency) {
    case "lock":
      return (
        <Plate class="mark mark-lock">
          <path class="g-markline" d="M20 28v-8c0-7 5-12 12-12s12 5 12 12v8" />
          <path class="g-markfill" d="M13 28h38v28H13z" />
        </Plate>
      );
    case "act":
      return (
        <Plate class="mark mark-act">
          <path class="g-markfill" d="M32 6l28 50H4z" />
          <path class="g-markpaper" d="M29 25h6l-1 16h-4zM29.500 45h5v5h-5z" />
        </Plate>
      );
    case "look":
      return (
        <Plate class="mark mark-look">
          <path class="g-markline" d="M4 32c8-13 18-18 28-18s20 5 28 18c-8 13-18 18-28 18S12 45 4 32z" />
          <circle class="g-markfill" cx="32" cy="32" r="9" />
        </Plate>
      );
    case "wait":
      return (
        <Plate class="mark mark-wait">
          <circle class="g-markline" cx="32" cy="32" r="24" />
          <path class="g-markline" d="M32 16v17l11 7" />
        </Plate>
      );
    case "none":
      return (
        <Plate class="mark mark-none">
          <path class="g-markline" d="M12 34l14 14 26-32" />
        </Plate>
      );
  }
}

export function AnswerMark({ answer }: { answer: "yes" | "no" | "unknown" }) {
  return (
    <Plate class={`mark mark-${answer}`}>
      {answer === "yes" ? <path class="g-markline" d="M12 34l14 14 26-32" /> : answer === "no" ? <path class="g-markline" d="M14 14l36 36M50 14L14 50" />
        : <path class="g-markline" d="M22 22c0-7 5-11 11-11s11 4 11 10c0 8-11 8-11 18M33 50v3" />}
    </Plate>
  );
}

export { TurnedLeaf } from "./leaf";
