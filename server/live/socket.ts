import type { IncomingMessage, Server as HttpServer } from 'node:http';
import { Server } from 'socket.io';
import type { Board } from '../contract/board.ts';
import type { ClientToServer, ServerToClient } from '../contract/live-events.ts';
import type { LiveFeed } from '../ports.ts';

/** Below the screen's own patience of 20 s, so that it notices a dead link by itself. */
const PING_EVERY_MS = 8_000;
const PING_PATIENCE_MS = 8_000;
const MAX_FROM_SCREEN_BYTES = 10_000;

export type LiveSocketOptions = {
  /** Whether this browser may watch: its page is ours and it has entered the passphrase where one is asked. */
  mayWatch: (request: IncomingMessage) => boolean;
  snapshot: () => Board;
};

/** Pushes the board to every screen: a full snapshot on connect, then each newer one. */
export class LiveSocket implements LiveFeed {
  private readonly io: Server<ClientToServer, ServerToClient>;

  constructor(http: HttpServer, { mayWatch, snapshot }: LiveSocketOptions) {
    this.io = new Server<ClientToServer, ServerToClient>(http, {
      serveClient: false,
      perMessageDeflate: false,
      pingInterval: PING_EVERY_MS,
      pingTimeout: PING_PATIENCE_MS,
      maxHttpBufferSize: MAX_FROM_SCREEN_BYTES,
      allowRequest: (request, done) => done(null, mayWatch(request)),
    });
    this.io.on('connection', (socket) => {
      socket.emit('board', snapshot());
    });
  }

  get screens(): number {
    return this.io.engine.clientsCount;
  }

  board(board: Board): void {
    // volatile: a screen that cannot keep up gets the next board, not a queue of old ones
    this.io.volatile.emit('board', board);
  }

  readings(readings: Parameters<ServerToClient['reading']>[0]): void {
    if (readings.length > 0) this.io.volatile.emit('reading', readings);
  }

  alarm(alarm: Parameters<ServerToClient['alarm']>[0]): void {
    this.io.emit('alarm', alarm);
  }

  /** Every screen must ask again whether it may watch. */
  disconnectAll(): void {
    this.io.disconnectSockets(true);
  }

  async stop(): Promise<void> {
    await this.io.close();
  }
}
