// Moths and their caterpillars. Diamondback: small, pale diamonds along the folded wings. Looper: a silver mark on each brown wing, the
// caterpillar arched. Corn borer: straw-coloured with zigzag lines. Earworm: buff with a dark spot, the caterpillar striped. Vine borer: like
// a wasp, orange with black dots, its caterpillar white in the stem.
import { Both, InSoil, InStem, OnLeaf, UnderLeaf } from "./draw";
import { Plate } from "./leaf";

export function DiamondMoth() {
  return (
    <Plate>
      <Both half={() => <path class="g-line" d="M30 12L22 1M23 30l-8-3M22 42l-8 4" />} />
      <path class="g-soilbrown g-ink" d="M32 9c7 5 9 17 10 33 1 8 0 13-4 18-2-2-4-3-6-3s-4 1-6 3c-4-5-5-10-4-18 1-16 3-28 10-33z" />
      <path class="g-pale g-ink" d="M32 15c1 4 4 6 4 9s-3 4-4 7c-1-3-4-4-4-7s3-5 4-9zM32 31c1 3 5 5 5 8s-4 5-5 8c-1-3-5-5-5-8s4-5 5-8zM32 47c1 2 4 4 4 6l-4 4-4-4c0-2 3-4 4-6z" />
      <path class="g-line" d="M23 57l-3 4M41 57l3 4" />
    </Plate>
  );
}

function WideMoth({ fill, marks }: { fill: string; marks: "silver" | "zigzag" | "spot" }) {
  return (
    <Plate>
      <Both half={() => (
        <g>
          <path class="g-line" d="M30 13C27 8 22 4 15 3" />
          <path class="g-pale g-ink" d="M30 34C22 38 17 46 17 54c5 4 10 3 14-2z" />
          <path class={`${fill} g-ink`} d="M31 16C20 22 9 36 3 51c9 3 19 1 28-10z" />
          {marks === "silver" && <><path class="g-white g-ink" d="M21 33c2-2 4 0 3 3-1 2-4 1-3-3zM18 38c2-1 3 1 2 2s-3 0-2-2z" /><path class="g-line" d="M13 36c3 5 7 10 9 12M9 42c3 4 5 6 8 8" /></>}
          {marks === "zigzag" && <path class="g-line g-in" d="M24 22l-1 5 4 2 0 6 4 1M14 33l1 5 5 1 1 5 5 1M8 43l2 4 4-1 2 4" />}
          {marks === "spot" && <><circle class="g-dot" cx="20" cy="34" r="2.400" /><path class="g-line g-in" d="M11 38c2 5 7 9 11 11" /><path class="g-band" d="M17 53l9-4 4 1c-4 4-8 5-13 3z" /></>}
        </g>
      )} />
      <path class={`${fill} g-ink`} d="M32 10c4 0 6 4 6 9 0 8-1 26-6 37-5-11-6-29-6-37 0-5 2-9 6-9z" />
      <path class="g-line" d="M27 22c3 2 7 2 10 0M28 36h8M28.500 42h7M30 48h4" />
      <circle class="g-dot" cx="29" cy="14" r="1.300" /><circle class="g-dot" cx="35" cy="14" r="1.300" />
    </Plate>
  );
}

export const LooperMoth = () => <WideMoth fill="g-soilbrown" marks="silver" />;
export const BorerMoth = () => <WideMoth fill="g-yellow" marks="zigzag" />;
export const EarwormMoth = () => <WideMoth fill="g-buff" marks="spot" />;

export function WaspMoth() {
  return (
    <Plate>
      <Both half={() => (
        <g>
          <path class="g-line" d="M30 12C27 7 22 4 17 5" />
          <path class="g-orange g-ink" d="M26 38l-9 8-2 12 4 1 2-10 7-6z" />
          <path class="g-white g-ink g-glass" d="M28 28c-9 1-17 6-21 14 9 2 17-2 22-8z" />
          <path class="g-night g-ink" d="M28 20C18 18 8 22 2 30c9 4 19 4 27-1z" />
        </g>
      )} />
      <path class="g-orange g-ink" d="M27 28h10c2 10 1 24-5 32-6-8-7-22-5-32z" />
      <path class="g-line" d="M26.500 35h11M26.500 42h11M28 49h8" />
      <g class="g-dot"><circle cx="32" cy="32" r="1.800" /><circle cx="32" cy="39" r="1.800" /><circle cx="32" cy="46" r="1.800" /><circle cx="32" cy="52.500" r="1.500" /></g>
      <path class="g-night g-ink" d="M27 29c-2-6-1-11 5-11s7 5 5 11z" />
      <path class="g-dark g-ink" d="M28 18c0-4 1-6 4-6s4 2 4 6z" />
    </Plate>
  );
}

export function SlimCaterpillar({ small = false }: { small?: boolean }) {
  return (
    <UnderLeaf>
      <g transform={small ? "translate(15 20) scale(.56)" : undefined}>
        <path class="g-green g-ink" d="M4 40c6-7 16-11 28-11s20 4 26 10c-6 6-15 9-26 9S10 45 4 40z" />
        <path class="g-line" d="M14 33c2 4 2 9 0 12M22 30.500c2 5 2 11 0 16M31 29.500c2 6 2 12 0 18M40 30.500c2 5 2 11 0 16M49 33.500c1 3 1 7 0 10M57 40l6 6M57 38l6-5M12 45l-2 5M17 47l-1 5" />
        <circle class="g-dot" cx="9" cy="39" r="1.300" />
      </g>
    </UnderLeaf>
  );
}

export function Looping({ small = false }: { small?: boolean }) {
  return (
    <UnderLeaf>
      <g transform={small ? "translate(15 20) scale(.56)" : undefined}>
        <path class="g-green g-ink" d="M3 44c0-5 5-6 8-9 5-7 6-25 21-25s17 14 19 22c1 6 4 8 8 9 4 2 3 8-2 8-9 0-14-4-16-12-2-7-2-17-9-17s-7 11-11 20c-2 6-6 9-12 9-4 0-6-2-6-5z" />
        <path class="g-white-line" d="M6 43c10-1 10-9 13-18 2-6 5-11 13-11 9 0 11 8 13 17 2 8 5 13 13 14" />
        <path class="g-line" d="M7 49l-1 5M12 49v5M17 47l1 5M52 49l-1 5M57 49v5M19 37l-5-4M23 26l-5-3M29 14l-2-4M41 19l4-4M44 29l5-2M47 38l5-3" />
        <circle class="g-dot" cx="7" cy="42.500" r="1.300" />
      </g>
    </UnderLeaf>
  );
}

function Grown({ fill, marks }: { fill: string; marks: "stripes" | "dots" | "none" }) {
  return (
    <g>
      <path class={`${fill} g-ink`} d="M10 30c8-4 32-5 44-1 5 2 6 9 2 12-10 4-36 4-46 0-3-3-3-9 0-11z" />
      {marks === "stripes" && <path class="g-stripe" d="M12 32.500c12-3 31-3 43 0M11 38.500c12 2 32 2 45 0" />}
      {marks === "dots" && <g class="g-dot">{[17, 24, 31, 38, 45, 52].map((x) => <><circle cx={x} cy="32" r="1.200" /><circle cx={x + 2} cy="37" r="1.200" /></>)}</g>}
      <path class="g-line g-in" d="M20 28v15M27.500 27v17M35 27v17M42.500 27v17M50 28v15" />
      <path class="g-line" d="M14 42l-1 4M18 43v4M22.500 43.500v4M44 44v4M50 43v4" />
      <path class="g-soilbrown g-ink" d="M11 29.500c-5-1-8 2-8 6s3 7 8 6c-1-4-1-8 0-12z" />
    </g>
  );
}

export function StripedCaterpillar({ small = false }: { small?: boolean }) {
  return <UnderLeaf><g transform={small ? "translate(16 24) scale(.56)" : "translate(0 4)"}><Grown fill="g-amber" marks="stripes" /></g></UnderLeaf>;
}

export function Borer({ dots, small = false }: { dots: boolean; small?: boolean }) {
  return <InStem><g transform={small ? "translate(16 14) scale(.5)" : "translate(3 4) scale(.9 .78)"}><Grown fill={dots ? "g-buff" : "g-white"} marks={dots ? "dots" : "none"} /></g></InStem>;
}

export function RibbedDome() {
  return (
    <Plate>
      <path class="g-leaf" d="M2 55C10 44 40 40 62 46c-8 12-46 19-60 9z" />
      <path class="g-white g-ink" d="M15 47c-1-15 6-26 17-26s18 11 17 26c-8 4-26 4-34 0z" />
      <path class="g-line g-in" d="M21 49c-1-11 3-22 11-28M27 50c-1-10 1-21 5-29M37 50c1-10-1-21-5-29M43 49c1-11-3-22-11-28M16 41c9 3 23 3 32 0M18 33c8 3 20 3 28 0" />
    </Plate>
  );
}

export function ScaleEggs() {
  const eggs: [number, number][] = [[24, 24], [32, 21], [40, 24], [20, 32], [28, 30], [36, 29], [44, 32], [24, 38], [32, 37], [40, 38], [28, 45], [36, 45]];
  return <OnLeaf>{eggs.map(([x, y]) => <><circle class="g-white g-ink g-in" cx={x} cy={y} r="5.600" /><circle class="g-line g-in g-thread" cx={x} cy={y} r="3" /></>)}</OnLeaf>;
}

export function FlatOvals() {
  const eggs: [number, number, number][] = [[22, 36, -45], [28, 33, -30], [33, 25, -50], [40, 23, -40]];
  return <OnLeaf>{eggs.map(([x, y, turn]) => <ellipse class="g-yellow g-ink g-in" cx={x} cy={y} rx="4" ry="2.400" transform={`rotate(${turn} ${x} ${y})`} />)}</OnLeaf>;
}

export function StemEgg() {
  return (
    <Plate>
      <path class="g-green g-ink" d="M22 2h20c0 22 1 40 6 60H16c5-20 6-38 6-60z" />
      <path class="g-line" d="M28 4c0 20-1 38-5 56M36 4c0 20 1 38 5 56" />
      <ellipse class="g-bronze g-ink" cx="32" cy="42" rx="4.200" ry="5.400" />
      <ellipse class="g-line" cx="32" cy="42" rx="2" ry="3" />
    </Plate>
  );
}

export function NetCocoon() {
  return (
    <OnLeaf>
      <g transform="rotate(-42 32 33)">
        <path class="g-green g-ink" d="M14 33c4-5 11-7 18-7s14 2 18 7c-4 5-11 7-18 7s-14-2-18-7z" />
        <path class="g-white-line" d="M8 33c8-11 40-11 48 0-8 11-40 11-48 0zM12 29l12 13M18 26l16 16M26 25l16 16M34 25l14 13M42 25l9 9M12 37l12-12M18 40l16-15M26 41l16-15M34 41l14-12M42 40l9-8" />
      </g>
    </OnLeaf>
  );
}

export function SoilChrysalis() {
  return (
    <InSoil>
      <path class="g-bronze g-ink" d="M9 42c2-7 12-11 24-10 10 1 18 5 22 10-4 5-12 9-22 10-12 1-22-3-24-10z" />
      <path class="g-line" d="M31 32c4 6 4 14 0 20M38 33c3 5 3 13 0 18M44 35c2 4 2 10 0 14M49 38c1 2 1 6 0 8M12 38c7 4 14 4 20 2M12 46c6-2 12-3 18-1" />
    </InSoil>
  );
}
