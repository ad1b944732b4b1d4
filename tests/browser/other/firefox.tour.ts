/** `npm run test:firefox`: needs Firefox (Debian: firefox-esr; FIREFOX names another program). */
import { firefox } from "./firefox.ts";
import { tour } from "./tour.ts";

tour("firefox", firefox, { storeByFile: true });
