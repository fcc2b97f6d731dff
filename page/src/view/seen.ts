// What every shader is told of the eye, in one place that all of them share.
import { PerspectiveCamera, Vector2, Vector3, type IUniform } from 'three'
import { axes, FIELD, type Eye } from './camera'

export interface Seen {
  readonly camera: PerspectiveCamera
  readonly uniforms: Readonly<Record<'seenRight' | 'seenUp' | 'seenToward' | 'eye' | 'jitter', IUniform>>
  look(eye: Eye, aspect: number): void
}

export function makeSeen(): Seen {
  const camera = new PerspectiveCamera((FIELD * 180) / Math.PI, 1, 0.05, 8)
  camera.matrixAutoUpdate = true
  const uniforms = {
    seenRight: { value: new Vector3() },
    seenUp: { value: new Vector3() },
    seenToward: { value: new Vector3() },
    eye: { value: new Vector3() },
    jitter: { value: new Vector2() },
  }
  return {
    camera,
    uniforms,
    look(eye, aspect) {
      const { right, up, toward, at } = axes(eye)
      uniforms.seenRight.value.set(...right)
      uniforms.seenUp.value.set(...up)
      uniforms.seenToward.value.set(...toward)
      uniforms.eye.value.set(...at)
      camera.up.set(...up)
      camera.position.set(...at)
      camera.lookAt(...eye.target)
      camera.aspect = aspect
      camera.near = Math.max(0.03, eye.distance - 0.7)
      camera.far = eye.distance + 1.2
      camera.updateProjectionMatrix()
      camera.updateMatrixWorld()
    },
  }
}
