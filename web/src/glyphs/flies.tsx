// Root and seed maggots: a grey fly like a small house fly, white grains at the foot of the stem, a legless maggot pointed in front, and a
// brown puparium.
import { Both, InSoil } from "./draw";
import { Plate } from "./leaf";

export function GreyFly() {
  return (
    <Plate>
      <Both half={() => <path class="g-line" d="M26 20l-10-7-6 2M24 25l-14-1-5 4M28 36l-8 10 1 14" />} />
      <path class="g-grey g-ink" d="M25 30c-2 10 1 21 7 26 6-5 9-16 7-26z" />
      <path class="g-line g-in" d="M26 38c4 1 8 1 12 0M27 45c3 1 7 1 10 0M32 31v24" />
      <Both half={() => (
        <g>
          <path class="g-white g-ink g-glass" d="M27 25C16 28 7 41 6 57c9-1 18-11 22-27z" />
          <path class="g-line g-in" d="M26 28C18 34 12 44 9 55M27 31c-5 7-9 13-13 21M18 38l3 3" />
        </g>
      )} />
      <ellipse class="g-grey g-ink" cx="32" cy="23.500" rx="7.500" ry="8" />
      <path class="g-line g-in" d="M29 17v13M32 16.500v14M35 17v13" />
      <Both half={() => <path class="g-red g-ink" d="M31 10c-5-2-8 1-7 5 1 3 5 2 7 0z" />} />
      <path class="g-line" d="M31 9l-2-4M33 9l2-4" />
    </Plate>
  );
}

export function RootMaggot({ small = false }: { small?: boolean }) {
  return (
    <InSoil>
      <path class="g-pale g-ink" d="M36 2h8c1 10 4 17 8 26 2 12-3 24-9 33-7-9-12-20-11-32 3-9 4-17 4-27z" />
      <g transform={small ? "translate(14 18) scale(.58)" : undefined}>
        <path class="g-white g-ink" d="M6 37c8-4 20-8 32-6 8 1 11 5 11 9s-4 7-10 7c-13 0-25-5-33-10z" />
        <path class="g-line g-in" d="M16 34c1 3 0 5-1 8M24 32c2 4 1 8 0 12M32 31c2 5 2 10 0 15M40 31.500c2 5 2 10 0 15" />
        <circle class="g-dot" cx="46" cy="38" r="1" /><circle class="g-dot" cx="46" cy="42" r="1" />
      </g>
    </InSoil>
  );
}

export function Puparium() {
  return (
    <InSoil>
      <path class="g-bronze g-ink" d="M14 44c3-8 12-13 22-12 9 1 14 6 14 11s-6 10-15 10-18-3-21-9z" />
      <path class="g-line" d="M21 37c2 4 2 8 0 13M28 33.500c2 6 2 12 0 18M35 32.500c2 6 2 13 0 20M42 33.500c2 6 2 12 0 18" />
    </InSoil>
  );
}

export function StemGrains() {
  const grains: [number, number][] = [[20, 24], [24, 29], [41, 25], [38, 31], [44, 31], [27, 36], [18, 31]];
  return (
    <InSoil>
      <path class="g-green g-ink" d="M28 2h8c0 16 1 26 3 34l-4 24-7-24c1-10 0-20 0-34z" />
      {grains.map(([x, y]) => <ellipse class="g-white g-ink" cx={x} cy={y} rx="1.700" ry="3.800" transform={`rotate(${(x * 11) % 80 - 40} ${x} ${y})`} />)}
    </InSoil>
  );
}
