// Fine lines in the picture: outlines on the scalp, and what shows how a panel is held. Each is drawn twice, first pale and
// wide, then dark and fine, as road maps do, so that it is seen on skin and on hair.
import { BufferAttribute, CustomBlending, GLSL3, InstancedBufferAttribute, InstancedBufferGeometry, Mesh, OneFactor, OneMinusSrcAlphaFactor, RawShaderMaterial, Sphere, Vector2, Vector3 } from 'three'
import type { Vec3 } from '../core/messages'
import { lineFragment, lineVertex } from './glsl'

export interface Ink {
  readonly colour: readonly [number, number, number] // sRGB, 0 to 1
  readonly cover: number
}

export interface LineSet {
  readonly meshes: readonly Mesh[]
  draw(pieces: Float32Array, count: number, ink: Ink, casing: Ink): void // x, y, z of both ends
  frame(wide: number, high: number, pixels: number): void
  hide(): void
}

export function makeLines(wide: number, over: boolean): LineSet {
  const frame = { value: new Vector2(1, 1) }
  const make = (extra: number, order: number) => {
    const width = { value: wide + extra }
    const material = new RawShaderMaterial({
      glslVersion: GLSL3,
      vertexShader: lineVertex,
      fragmentShader: lineFragment,
      uniforms: { frame, wide: width },
      transparent: true,
      depthTest: !over,
      depthWrite: false,
      blending: CustomBlending,
      blendSrc: OneFactor,
      blendDst: OneMinusSrcAlphaFactor,
      side: 2,
    })
    const mesh = new Mesh(new InstancedBufferGeometry(), material)
    mesh.frustumCulled = false
    mesh.visible = false
    mesh.renderOrder = order
    return { mesh, width, extra }
  }
  const parts = [make(1.8, 1), make(0, 2)]
  return {
    meshes: parts.map((part) => part.mesh),
    draw(pieces, count, ink, casing) {
      parts.forEach(({ mesh }, n) => {
        const { colour, cover } = n === 0 ? casing : ink
        const geometry = new InstancedBufferGeometry()
        geometry.setAttribute('corner', new BufferAttribute(new Float32Array([0, -1, 1, -1, 0, 1, 1, 1]), 2))
        geometry.setIndex([0, 1, 2, 2, 1, 3])
        const from = new Float32Array(3 * count), to = new Float32Array(3 * count), inks = new Float32Array(4 * count)
        for (let i = 0; i < count; i++) {
          for (let c = 0; c < 3; c++) {
            from[3 * i + c] = pieces[6 * i + c] ?? 0
            to[3 * i + c] = pieces[6 * i + 3 + c] ?? 0
            inks[4 * i + c] = colour[c] ?? 0
          }
          inks[4 * i + 3] = cover
        }
        geometry.setAttribute('from', new InstancedBufferAttribute(from, 3))
        geometry.setAttribute('to', new InstancedBufferAttribute(to, 3))
        geometry.setAttribute('ink', new InstancedBufferAttribute(inks, 4))
        geometry.instanceCount = count
        geometry.boundingSphere = new Sphere(new Vector3(), 3)
        mesh.geometry.dispose()
        mesh.geometry = geometry
        mesh.visible = count > 0 && cover > 0
      })
    },
    frame(w, h, pixels) {
      frame.value.set(w * pixels, h * pixels)
      for (const { width, extra } of parts) width.value = (wide + extra) * pixels
    },
    hide() {
      for (const { mesh } of parts) mesh.visible = false
    },
  }
}

// Pieces lifted off the scalp, so that they do not sink into it.
export function lifted(at: Float32Array, by: number, middle: Vec3): Float32Array {
  const out = new Float32Array(at.length)
  for (let i = 0; i < at.length; i += 3) {
    const x = (at[i] ?? 0) - middle[0], y = (at[i + 1] ?? 0) - middle[1], z = (at[i + 2] ?? 0) - middle[2]
    const k = 1 + by / Math.max(1e-6, Math.hypot(x, y, z))
    out[i] = middle[0] + x * k
    out[i + 1] = middle[1] + y * k
    out[i + 2] = middle[2] + z * k
  }
  return out
}

export function polyline(points: readonly Vec3[]): Float32Array {
  const out = new Float32Array(6 * Math.max(0, points.length - 1))
  for (let i = 1; i < points.length; i++) out.set([...(points[i - 1] as Vec3), ...(points[i] as Vec3)], 6 * (i - 1))
  return out
}
