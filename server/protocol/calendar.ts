/** For the client, which sees what is shared with it alone. */
export { isCalendarDate } from '../base/calendar.js';
