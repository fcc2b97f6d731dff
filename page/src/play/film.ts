// The cut as it is played, on the head: gives the mane the shape of the moment, and lets what is cut off fall away.
import type { Playing, Store } from '../state/store'
import { NODES } from '../view/shapes'
import type { Mane } from '../view/mane'
import type { Stage } from '../view/stage'
import type { Strands } from '../view/strands'
import { fallen, GONE, makePlayer, type Player } from './hair'
import { momentOf, turnOf, turns } from './moments'

export interface Film {
  show(playing: Playing | null): void
}

const CLIPPED = 0.15 // of the phase in which the scissors close

export function makeFilm(store: Store, mane: Mane, hair: Strands, clips: Strands, stage: Stage): Film {
  let player: Player | null = null
  let of: readonly unknown[] = []
  let index = -1
  let pieces = new Float32Array(0)
  let fading = new Float32Array(0)
  for (const name of ['castLow', 'castHigh', 'onceLow', 'onceHigh', 'palette', 'lengths'] as const) clips.uniforms[name].value = hair.uniforms[name].value

  function end(): void {
    player = null
    index = -1
    clips.mesh.visible = false
    mane.play(null, null, null)
  }

  // What was cut off, by how long ago it was.
  function clip(share: number): void {
    const { phase, at } = momentOf(share)
    const since = phase === 'cut' ? at - CLIPPED : phase === 'dropped' ? 1 - CLIPPED + 1.2 * at : -1
    const seconds = since * 0.6
    const { count, from } = player?.clipped ?? { count: 0, from: pieces }
    clips.mesh.visible = since >= 0 && seconds < GONE && count > 0
    if (!clips.mesh.visible) return
    fallen(pieces, from, count, seconds)
    clips.shape(pieces)
    for (let i = 0; i < count; i++) {
      fading[2 * i] = Math.max(0, 1 - seconds / GONE)
      fading[2 * i + 1] = 0
    }
    clips.tone(fading)
    clips.uniforms.palette.value = hair.uniforms.palette.value
  }

  return {
    show(playing) {
      const cut = store.cut.value, uncut = store.uncut.value, fall = store.fall.value, held = store.held.value
      if (!playing) return end()
      const size = cut ? 3 * NODES * cut.hairs : 0
      if (!cut || !uncut || !fall || !held || held.panel >= 0 || [uncut.at, fall.at, held.at].some((at) => at.length !== size)) return
      const order = turns(cut)
      const turn = turnOf(cut, order, playing)
      const next = order[turn] ?? -1
      if (!player || of[0] !== cut || of[1] !== uncut || of[2] !== fall || of[3] !== held) {
        player = makePlayer({ cut, uncut, fall, held })
        of = [cut, uncut, fall, held]
        index = -1
      }
      const other = next !== index
      if (other) {
        player.turn(next)
        index = next
        pieces = new Float32Array(player.clipped.from.length)
        fading = new Float32Array(2 * player.clipped.count)
        if (player.clipped.count) clips.grow(player.clipped.lengths, new Int32Array(4 * player.clipped.count).fill(-1))
      }
      player.at(playing.share)
      mane.play(player.shape, other ? player.settled() : null, player.lengths)
      clip(playing.share)
      stage.change()
    },
  }
}
