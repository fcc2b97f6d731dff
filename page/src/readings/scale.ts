// Colour by length: cividis (Nuñez, Anderton and Renslow 2018), from eleven of its places, straight between them.
const CIVIDIS = ['#00224e', '#123570', '#3b496c', '#575d6d', '#707173', '#8a8678', '#a59c74', '#c3b369', '#e1cc55', '#f2da44', '#fee838'].map((hex) =>
  [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)),
)

export function cividis(share: number): string {
  const at = Math.min(1, Math.max(0, share)) * (CIVIDIS.length - 1)
  const low = Math.min(CIVIDIS.length - 2, Math.floor(at))
  const mixed = [0, 1, 2].map((k) => {
    const from = CIVIDIS[low]?.[k] ?? 0
    return Math.round(from + (at - low) * ((CIVIDIS[low + 1]?.[k] ?? 0) - from))
  })
  return `rgb(${mixed.join(', ')})`
}
