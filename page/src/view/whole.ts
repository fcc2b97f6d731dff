// A picture that is worked out pixel by pixel: one triangle over the whole of it.
import { BufferAttribute, BufferGeometry, Mesh, OrthographicCamera, Scene, type Material, type WebGLRenderer, type WebGLRenderTarget } from 'three'

const geometry = new BufferGeometry()
geometry.setAttribute('position', new BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3))
const mesh = new Mesh(geometry)
mesh.frustumCulled = false
const scene = new Scene()
scene.add(mesh)
const camera = new OrthographicCamera()

export function drawWhole(renderer: WebGLRenderer, material: Material, target: WebGLRenderTarget | null): void {
  mesh.material = material
  renderer.setRenderTarget(target)
  renderer.render(scene, camera)
}
