// Colour of hair from its pigment, as in the program's pictures (src/draw/hair_shine.c): absorption by d'Eon and others 2011,
// what a head of hair sends back by Chiang and others 2016.

export type Rgb = readonly [number, number, number]

export interface HairBody {
  readonly cast: Rgb // what many hairs together send back, linear
  readonly once: Rgb // of the light that crosses a hair once
}

const DARK: Rgb = [0.419, 0.697, 1.37] // taken by eumelanin
const RED: Rgb = [0.187, 0.4, 1.05] // by pheomelanin

export function hairBody(dark: number, red: number): HairBody {
  const takes = DARK.map((d, k) => dark * d + red * (RED[k] ?? 0))
  const cast = takes.map((t) => 0.008 + 0.65 * Math.exp(-3.5 * Math.sqrt(t)))
  const plain = 0.3 * (cast[0] ?? 0) + 0.6 * (cast[1] ?? 0) + 0.1 * (cast[2] ?? 0)
  const mixed = cast.map((c) => c + 0.2 * (plain - c))
  const once = takes.map((t) => Math.exp(-1.7 * t))
  return { cast: mixed as unknown as Rgb, once: once as unknown as Rgb }
}

export const linear = (c: number): number => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4)

// '#rrggbb' or 'rgb(r, g, b)' in linear light; null where it is neither.
export function parse(colour: string): Rgb | null {
  const text = colour.trim()
  const hex = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(text)
  const parts = hex ? hex.slice(1).map((h) => parseInt(h, 16)) : (/^rgba?\(([^)]+)\)$/.exec(text)?.[1]?.split(/[,\s/]+/).slice(0, 3).map(Number) ?? null)
  if (!parts || parts.length !== 3 || parts.some(Number.isNaN)) return null
  return parts.map((p) => linear(p / 255)) as unknown as Rgb
}
