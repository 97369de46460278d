// Reads invitations (a JSON list of .ics texts on standard input) the way a mail or web
// calendar written in JavaScript does, and answers what it understood, as a JSON list.
import { readFileSync } from "node:fs";
import ICAL from "ical.js";

const answers = JSON.parse(readFileSync(0, "utf8")).map((ics) => {
  const calendar = new ICAL.Component(ICAL.parse(ics));
  const event = calendar.getFirstSubcomponent("vevent");
  const start = event.getFirstPropertyValue("dtstart");
  const end = event.getFirstPropertyValue("dtend");
  return {
    events: calendar.getAllSubcomponents("vevent").length,
    method: calendar.getFirstPropertyValue("method"),
    summary: event.getFirstPropertyValue("summary"),
    location: event.getFirstPropertyValue("location"),
    attendeeName: event.getFirstProperty("attendee")?.getParameter("cn") ?? null,
    isDate: start.isDate,
    startsAt: start.toUnixTime(),
    endsAt: end.toUnixTime(),
    start: start.toString(),
    end: end.toString(),
  };
});
process.stdout.write(JSON.stringify(answers));
