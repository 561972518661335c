export {
  type AfterRun,
  checkAfterRun,
  type KeptFeints,
  type Measurable,
  measurables,
  readAfterRun,
  readAllAfterRuns,
  type SavedAfterRun,
  saveAfterRun,
} from './after-run';
export { type CourseFollower, followCourse, keepCourse, keptCourse } from './alcohol-course';
export { type Beside, comparedRun, compareWithOrigin, fractionsOf, keepCourseOf } from './compared-run';
export { oneLine, plainText } from './html';
export { makeReport, type ReportOptions, reportOf } from './report';
export { sayEvent, sayMark } from './said';
export { sayVerified } from './section-record';
export { isPotable, type RecordReader, type RunStory, readStory, summaryOf } from './story';
export { type Wording, wordingOf } from './words';
