// Colorado potato beetle: a dome with ten dark stripes, orange eggs on end in a cluster, a hump-backed larva with two rows of spots.
import { Plate } from "./leaf";

export function StripedBeetle() {
  return (
    <Plate>
      <path class="g-line" d="M15 26L6 20M49 26l9-6M13 38H4M51 38h9M17 49l-8 7M47 49l8 7M27 9l-6-6M37 9l6-6" />
      <path class="g-amber g-ink" d="M22 18c0-8 4-11 10-11s10 3 10 11z" />
      <path class="g-dot" d="M28 9.500l4 3 4-3-1.500 5h-5z" />
      <circle class="g-dot" cx="25.500" cy="15" r="1.200" />
      <circle class="g-dot" cx="38.500" cy="15" r="1.200" />
      <path class="g-pale g-ink" d="M19 19h26c5 5 7 13 6 21-2 11-9 19-19 19S15 51 13 40c-1-8 1-16 6-21z" />
      <path class="g-stripe" d="M30 20.500v36M26.500 20.500c-1 12-.5 24 1 35M23 21c-2 11-2 22 1 32M19.800 22.500c-2.300 8-2.300 17 0 25M16.600 27c-1 5-1 10 0 15" />
      <path class="g-stripe" d="M34 20.500v36M37.500 20.500c1 12 .5 24-1 35M41 21c2 11 2 22-1 32M44.200 22.500c2.300 8 2.300 17 0 25M47.400 27c1 5 1 10 0 15" />
      <path class="g-line" d="M32 19v40" />
    </Plate>
  );
}

export function OrangeEggs({ yellow = false }: { yellow?: boolean }) {
  const eggs: [number, number][] = [[17, 30], [25, 26], [33, 24], [41, 26], [21, 37], [29, 34], [37, 33], [45, 34], [26, 44], [34, 42], [42, 42], [32, 50], [39, 50]];
  return (
    <Plate>
      <path class="g-leaf" d="M3 60C3 26 28 8 61 5c1 32-18 56-58 55z" />
      <path class="g-line" d="M3 60C16 42 34 24 61 5" />
      {eggs.map(([x, y]) => <ellipse class={`${yellow ? "g-yellow" : "g-orange"} g-ink g-in`} cx={x} cy={y} rx="3.300" ry="5.300" transform={`rotate(${(x - 31) * 1.100} ${x} ${y})`} />)}
    </Plate>
  );
}

export function HumpedLarva({ small = false }: { small?: boolean }) {
  return (
    <Plate>
      <path class="g-leaf" d="M2 52C16 42 44 40 62 46c-10 14-46 18-60 6z" />
      <g transform={small ? "translate(16 22) scale(.58)" : undefined}>
        <path class="g-line" d="M14 44l-3 6M20 45l-2 6M27 45l-1 6" />
        <path class="g-orange g-ink" d="M12 43c-1-5 1-8 4-10 4-14 16-21 27-18 11 3 15 14 13 23-1 5-4 8-9 8H20c-4 0-7 0-8-3z" />
        <path class="g-line" d="M22 26c2 6 2 12 1 19M30 18c3 8 4 18 3 27M39 15c4 9 5 20 4 30M48 18c3 8 4 18 2 27" />
        <path class="g-dark g-ink" d="M8 42c-1-5 2-8 6-8 3 2 4 7 2 10-3 2-7 1-8-2z" />
        <g class="g-dot">
          <circle cx="26" cy="27" r="1.700" /><circle cx="34" cy="25" r="1.700" /><circle cx="42" cy="26" r="1.700" /><circle cx="50" cy="29" r="1.700" />
          <circle cx="26" cy="36" r="1.700" /><circle cx="35" cy="36" r="1.700" /><circle cx="44" cy="37" r="1.700" /><circle cx="51" cy="38" r="1.500" />
        </g>
      </g>
    </Plate>
  );
}

export function SoilPupa({ white = false }: { white?: boolean }) {
  return (
    <Plate>
      <path class="g-line" d="M2 18c10-3 14 2 22 0s14-3 20 0 10 2 18-1" />
      <path class="g-soil" d="M2 20c10-3 14 2 22 0s14-3 20 0 10 2 18-1v43H2z" />
      <path class="g-pale g-ink" d="M20 42c0-9 6-14 13-14s13 5 13 13-6 14-13 14-13-5-13-13z" />
      <path class={`${white ? "g-white" : "g-orange"} g-ink`} d="M25 42c0-6 4-9 8-9s8 4 8 8-3 9-8 9-8-4-8-8z" />
      <path class="g-line g-in" d="M27 38c4 1 8 1 12 0M26 43c5 1 9 1 14 0M28 47c3 1 7 1 10 0" />
    </Plate>
  );
}
