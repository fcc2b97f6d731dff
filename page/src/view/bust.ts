// The bust on the screen.
import { BufferAttribute, BufferGeometry, Color, GLSL3, Mesh, NoBlending, RawShaderMaterial, Sphere, Vector3, type IUniform } from 'three'
import type { Bust } from '../core/messages'
import { bustFragment, bustVertex } from './glsl'
import type { Seen } from './seen'
import type { Space } from './space'

export interface BustMesh {
  readonly mesh: Mesh
  readonly uniforms: { readonly roots: IUniform<Vector3>; readonly grown: IUniform<number> }
  set(bust: Bust): void
}

// Each vertex's value becomes the mean of its neighbours' and its own.
export function smoothed(value: Float32Array, corners: Uint32Array): Float32Array {
  const sum = value.slice()
  const count = new Float32Array(value.length).fill(1)
  for (let i = 0; i < corners.length; i += 3)
    for (let k = 0; k < 3; k++) {
      const a = corners[i + k] ?? 0, b = corners[i + ((k + 1) % 3)] ?? 0
      sum[a] = (sum[a] ?? 0) + (value[b] ?? 0)
      count[a] = (count[a] ?? 0) + 1
    }
  return sum.map((s, i) => s / (count[i] ?? 1))
}

export function makeBust(seen: Seen, space: Space): BustMesh {
  const uniforms = {
    skin: { value: new Color(0.56, 0.515, 0.468) },
    roots: { value: new Vector3(0.2, 0.17, 0.14) },
    grown: { value: 0 },
    ground: { value: -0.256 },
  }
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: bustVertex,
    fragmentShader: bustFragment,
    uniforms: { ...seen.uniforms, ...space.uniforms, ...uniforms },
    blending: NoBlending,
  })
  const mesh = new Mesh(new BufferGeometry(), material)
  mesh.frustumCulled = false
  return {
    mesh,
    uniforms,
    set(bust) {
      const geometry = new BufferGeometry()
      let grown: Float32Array = Float32Array.from(bust.scalp)
      for (let i = 0; i < (bust.fine ? 3 : 1); i++) grown = smoothed(grown, bust.corners)
      const kind = new Float32Array(2 * grown.length)
      for (let i = 0; i < grown.length; i++) {
        kind[2 * i] = bust.open[i] ?? 1
        kind[2 * i + 1] = grown[i] ?? 0
      }
      geometry.setAttribute('position', new BufferAttribute(bust.at, 3))
      geometry.setAttribute('normal', new BufferAttribute(bust.normals, 3))
      geometry.setAttribute('kind', new BufferAttribute(kind, 2))
      geometry.setIndex(new BufferAttribute(bust.corners, 1))
      geometry.boundingSphere = new Sphere(new Vector3(), 1)
      mesh.geometry.dispose()
      mesh.geometry = geometry
    },
  }
}
