import type { PouringOrder } from '../../lib/jars/blind';
import type { Problem } from '../../lib/problems';
import type { OrderMessage } from '../../lib/wire';
import type { PouringView, RunLine, RunQuery, RunView, Saved, SheetLine, SheetView } from './record-views';
import type { RecipeView, StillView, TrendView } from './views';

/** What the operator had before their eyes when they gave an order: an order for another moment is refused. */
export interface Seen {
  readonly run: string | null;
  readonly state: string;
  readonly phase: string;
  readonly jar?: number | null;
}

export type Place = 'still' | 'remote';

export interface OrderOutcome {
  readonly accepted: boolean;
  /** Why, or why not; a line each. */
  readonly why: readonly string[];
  /** Nothing was heard of it in time: it may or may not have been carried out. */
  readonly unknown?: boolean;
}

/** Fields to set; null takes a field away. */
export type Change = Readonly<Record<string, unknown>>;

export interface Saving {
  readonly change: Change;
  /** The revision the writer had before them. */
  readonly from: number;
  readonly by: string;
}

export type Answer<T> =
  | { readonly kind: 'ok'; readonly value: T }
  | { readonly kind: 'unknown'; readonly message: string }
  | { readonly kind: 'bad'; readonly problems: readonly Problem[] }
  /** Somebody else changed the same field meanwhile: both texts are kept, a person must choose. */
  | { readonly kind: 'conflict'; readonly fields: readonly string[]; readonly now: Saved<unknown> }
  | { readonly kind: 'failed'; readonly message: string; readonly remedy: string };

/** What a sheet is made of, each part a document with revisions of its own, so that tasters never write over each other. */
export type SheetPart =
  | { readonly kind: 'about' }
  | { readonly kind: 'jar'; readonly jar: number }
  | { readonly kind: 'tasting'; readonly jar: number; readonly taster: string };

/** All the page asks of the daemon. */
export interface PageSource {
  stillIds(): readonly string[];
  still(id: string): StillView | null;
  /** After a turn of a still: samples what the trend needs. */
  noted(id: string): void;
  /** How much was decided on a still so far: where it changes, people want to see it at once. */
  decided(id: string): number;
  recipes(still: string): readonly RecipeView[] | null;
  /** What would be wrong with a start, without starting. */
  checkStart(still: string, message: OrderMessage): readonly Problem[] | null;
  order(still: string, message: OrderMessage, seen: Seen | null, from: Place): Promise<OrderOutcome | null>;
  trend(still: string): TrendView | null;
  runs(query: RunQuery): Answer<readonly RunLine[]>;
  run(id: string): Answer<RunView>;
  runTrend(id: string): Answer<TrendView>;
  report(id: string): Answer<string>;
  sheets(): Answer<readonly SheetLine[]>;
  sheet(id: string): Answer<SheetView>;
  newSheet(about: Change, by: string): Answer<string>;
  saveSheet(id: string, part: SheetPart, saving: Saving): Answer<Saved<unknown>>;
  pour(id: string, order: PouringOrder, hidden: boolean, by: string): Answer<PouringView>;
}
