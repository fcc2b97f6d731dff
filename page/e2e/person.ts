// Somebody who sits down at the page: starts the program, opens the browser, and goes when done.
//
//   LW_PROGRAM  the program to serve with
//   LW_SHOTS    a directory for screenshots; none are taken without it
import { spawn, type ChildProcess } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core'

export interface Server {
  readonly link: string // with the secret of this run
  readonly origin: string
  readonly book: string
  kill(): Promise<void> // at once, as a power cut would
  stop(): Promise<void> // as Ctrl-C does; fails where it did not go cleanly
}

const PROGRAM = process.env['LW_PROGRAM'] ?? ''
const SHOTS = process.env['LW_SHOTS']

function ended(child: ChildProcess): Promise<number | null> {
  return child.exitCode !== null || child.signalCode !== null ? Promise.resolve(child.exitCode) : new Promise((resolve) => child.once('exit', (code) => resolve(code)))
}

export async function serve(book?: string, port?: string): Promise<Server> {
  const drawer = book ? null : mkdtempSync(join(tmpdir(), 'lengthwise-'))
  const file = book ?? join(drawer as string, 'book.sqlite')
  const child = spawn(PROGRAM, ['serve', '--no-open', '--book', file, ...(port ? ['--port', port] : [])], { stdio: ['ignore', 'pipe', 'pipe'] })
  const link = await new Promise<string>((resolve, reject) => {
    let said = ''
    const hear = (bytes: Buffer): void => {
      said += bytes.toString()
      const found = /http:\/\/\S+/.exec(said)
      if (found && said.includes('\n', found.index)) resolve(found[0])
    }
    child.stdout.on('data', hear)
    child.stderr.on('data', hear)
    child.once('exit', (code) => reject(new Error(`${PROGRAM} ended with ${code}: ${said}`)))
  })
  const clear = (): void => {
    if (drawer) rmSync(drawer, { recursive: true, force: true })
  }
  return {
    link,
    origin: new URL(link).origin,
    book: file,
    async kill() {
      child.kill('SIGKILL')
      await ended(child)
    },
    async stop() {
      child.kill('SIGINT')
      const code = await ended(child)
      clear()
      if (code !== 0 && child.signalCode !== 'SIGKILL') throw new Error(`the server ended with ${code}`)
    },
  }
}

export interface Person {
  readonly server: Server
  readonly browser: Browser
  readonly context: BrowserContext
  readonly page: Page
  readonly faults: string[] // what the browser complained of
  shot(name: string): Promise<void>
  leave(): Promise<void>
}

export interface Sitting {
  readonly width?: number
  readonly height?: number
  readonly dark?: boolean
  readonly still?: boolean // asks for reduced motion
  readonly walked?: boolean // false: the first time here
  readonly server?: Server
}

export const lookForFaults = (page: Page, faults: string[]): void => {
  page.on('pageerror', (error) => faults.push(error.message))
  page.on('console', (message) => {
    // The browser logs every answer that is no success; those are tested by what the page makes of them.
    if (message.type() === 'error' && !message.text().startsWith('Failed to load resource')) faults.push(message.text())
  })
}

export async function sit(how: Sitting = {}): Promise<Person> {
  const server = how.server ?? (await serve())
  const executablePath = ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find(existsSync)
  if (!executablePath) throw new Error('Chromium is not installed')
  const browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--enable-unsafe-swiftshader', '--use-angle=swiftshader'] })
  const context = await browser.newContext({
    viewport: { width: how.width ?? 1440, height: how.height ?? 900 },
    colorScheme: how.dark ? 'dark' : 'light',
    reducedMotion: how.still === false ? 'no-preference' : 'reduce',
    acceptDownloads: true,
  })
  if (how.walked !== false) await context.addInitScript(() => localStorage.setItem('lengthwise.walked', 'yes'))
  const page = await context.newPage()
  const faults: string[] = []
  lookForFaults(page, faults)
  await page.goto(server.link)
  await ready(page)
  return {
    server,
    browser,
    context,
    page,
    faults,
    async shot(name) {
      if (!SHOTS) return
      mkdirSync(SHOTS, { recursive: true })
      await page.screenshot({ path: join(SHOTS, `${name}.png`) })
    },
    async leave() {
      await browser.close()
      if (!how.server) await server.stop()
    },
  }
}

// Until the first cut has been worked out and drawn.
export const ready = (page: Page): Promise<unknown> => page.waitForSelector('.rooms[data-ready]', { timeout: 60_000 })
