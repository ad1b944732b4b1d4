/**
 * `npm run test:webkit`: needs Debian's webkit2gtk-driver, gir1.2-webkit2-4.1, python3-gi and a display (xvfb). It is
 * WebKit, and not the browser of a tablet.
 */
import { tour } from "./tour.ts";
import { webkit } from "./webkit.ts";

tour("webkit", webkit, { storeByFile: false });
