package sunward.watch.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.CompletableFuture;
import javax.net.SocketFactory;
import net.e175.klaus.solarpositioning.SPA;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import sunward.profiles.Contribution;
import sunward.profiles.Correlation;
import sunward.profiles.Decoding;
import sunward.profiles.DiveProduct;
import sunward.profiles.ProductFiles;
import sunward.profiles.ProfileBin;
import sunward.profiles.ShoreInputs;
import sunward.profiles.UncertaintyBudget;
import sunward.protocol.message.BlockType;
import sunward.protocol.message.KeyRing;
import sunward.protocol.message.Kind;
import sunward.protocol.message.Message;
import sunward.protocol.message.MessageReader;
import sunward.protocol.message.Verdict;
import sunward.protocol.schema.PlanFile;
import sunward.watch.FlownDive;
import sunward.watch.MadeMessages;
import sunward.watch.ShoreWatch;
import sunward.watch.WatchSettings;
import sunward.watch.health.Token;
import sunward.watch.intake.DeliveryClient;
import sunward.watch.store.Arrival;
import sunward.watch.store.MessageStore;

/** The page in a real headless Chromium. Screenshots stay in {@code target/screenshots}. */
@Timeout(120)
class PageTest {
    @TempDir
    Path folder;

    private ShoreWatch watch;
    private Browser browser;
    private DeliveryClient gateway;

    @BeforeEach
    void open() throws Exception {
        Path chromium = Browser.find();
        if (System.getenv("CI") != null) {
            assertNotNull(chromium, "CI must have Chromium");
        }
        Assumptions.assumeTrue(chromium != null, "Chromium is not on this machine");
        PrintStream log = new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
        watch = ShoreWatch.start(
                WatchSettings.loopback(folder.resolve("store"), 0, 0).withInputs(FlownDive.inputs()),
                Clock.systemUTC(),
                log);
        gateway = new DeliveryClient(
                new InetSocketAddress(InetAddress.getLoopbackAddress(), watch.tcpPort()),
                SocketFactory.getDefault(),
                Token.read(folder.resolve("store").resolve("token")));
        browser = Browser.start(chromium, folder.resolve("browser"));
        browser.size(1280, 900);
    }

    @AfterEach
    void close() throws Exception {
        if (browser != null) {
            browser.close();
            gateway.close();
            watch.close();
        }
    }

    private void deliver(List<byte[]> messages) throws Exception {
        List<CompletableFuture<?>> receipts = new ArrayList<>();
        for (byte[] message : messages) {
            receipts.add(gateway.send(message));
        }
        gateway.flush();
        for (CompletableFuture<?> receipt : receipts) {
            receipt.get();
        }
    }

    private void show(String hash) throws Exception {
        browser.open("http://127.0.0.1:" + watch.pagePort() + "/" + hash);
        browser.await(
                "document.getElementById('view')?.dataset.drawn && document.getElementById('link').textContent === 'Live'");
    }

    private void assertQuiet() {
        assertEquals(List.of(), browser.problems());
        for (String request : browser.requests()) {
            assertTrue(
                    request.startsWith("http://127.0.0.1:" + watch.pagePort() + "/")
                            || request.startsWith("data:")
                            || request.equals("about:blank"),
                    request);
        }
    }

    /** The same page on a phone, once it has settled; nothing sticks out sideways. */
    private void phone() throws Exception {
        browser.size(390, 844);
        browser.await("document.documentElement.scrollWidth <= 390");
        Thread.sleep(300);
    }

    /** What a screen reader needs: each finding is a fault of the view that is shown. */
    private void assertReadable() throws Exception {
        JsonNode faults = browser.evaluate("""
                (() => {
                  const faults = [];
                  const all = query => [...document.querySelectorAll(query)];
                  const shown = one => one.getClientRects().length > 0;
                  const named = one => (one.getAttribute('aria-label') || one.textContent || '').trim() !== ''
                    || (one.labels && one.labels.length > 0);
                  if (document.documentElement.lang !== 'en') faults.push('language');
                  if (document.title.trim() === '') faults.push('title');
                  if (all('main').length !== 1 || all('h1').length !== 1) faults.push('one main, one first heading');
                  const levels = all('h1, h2, h3, h4').filter(shown).map(one => Number(one.tagName[1]));
                  levels.forEach((level, at) => { if (at > 0 && level > levels[at - 1] + 1) faults.push('heading skips to ' + level); });
                  for (const one of all('a, button, input, summary, [role=img], [role=region], svg[role]')) {
                    if (!named(one)) faults.push('no name: ' + one.outerHTML.slice(0, 80));
                  }
                  for (const one of all('table')) if (!one.caption || !one.querySelector('th[scope]')) faults.push('table without caption or heads');
                  for (const one of all('nav')) if (!one.getAttribute('aria-label')) faults.push('nav without a name');
                  for (const one of all('section')) if (!document.getElementById(one.getAttribute('aria-labelledby'))) faults.push('section without heading');
                  const ids = all('[id]').map(one => one.id);
                  ids.filter((id, at) => ids.indexOf(id) !== at).forEach(id => faults.push('id twice: ' + id));
                  for (const one of all('canvas')) if (!one.closest('[role=img], [aria-hidden=true]')) faults.push('canvas without a role');
                  return faults;
                })()""");
        assertEquals("[]", faults.toString());
    }

    private static Path picture(String name) {
        return Path.of("target", "screenshots", name + ".png");
    }

    @Test
    void anEmptyWatchSaysSo() throws Exception {
        show("");
        assertTrue(browser.text("document.body.innerText").contains("No message of any float has come yet."));
        browser.screenshot(picture("fleet-empty"));
        assertReadable();
        show("#/health");
        browser.await("document.querySelector('h1').textContent === 'The watch is well'");
        show("#/compare");
        browser.await("document.querySelector('h1').textContent === 'Compare dives'");
        show("#/dive/1/1");
        browser.await("document.querySelector('h1').textContent === 'No such dive'");
        // The browser itself notes the 404 of a dive that is not there; nothing else may be noted.
        for (String problem : browser.problems()) {
            assertTrue(problem.contains("api/dives/1/1"), problem);
        }
        browser.forgetProblems();
        assertQuiet();
    }

    @Test
    void aPageThatHasNothingToShowSaysWhyAndTriesAgain() throws Exception {
        List<byte[]> sent = FlownDive.sent();
        deliver(sent);
        browser.before("const real = window.fetch; window.broken = true; let held = [];"
                + " window.letGo = () => held.forEach(go => go());"
                + " window.fetch = path => path.startsWith('api/fleet') && window.broken"
                + " ? Promise.resolve(new Response('{\"sentence\": \"The tables are being made again.\"}', { status: 503 }))"
                + " : String(path).endsWith('/product') && window.broken"
                + " ? new Promise(go => held.push(go)).then(() => real(path)) : real(path);");
        browser.open("http://127.0.0.1:" + watch.pagePort() + "/");
        browser.await("document.querySelector('h1')?.textContent === 'Nothing to show yet'");
        assertTrue(browser.text("document.getElementById('view').innerText")
                .contains("The tables are being made again. Trying again"));
        browser.evaluate("window.broken = false");
        browser.await("document.querySelector('h1').textContent === 'What needs a person now'");
        browser.evaluate("window.broken = true; location.hash = '#/dive/1/1'");
        browser.await("document.querySelector('h1').textContent === 'Float 1, dive 1'");
        assertTrue(browser.text("document.getElementById('decoding').innerText")
                .contains("Making profile and radiance of what has come"));
        assertTrue(browser.evaluate("document.querySelectorAll('.messages .received').length > 20")
                .asBoolean());
        browser.evaluate("window.letGo()");
        browser.await("document.querySelector('#f-lw .plot')?.plotData !== undefined");
        assertEquals("null", browser.text("document.getElementById('decoding')"));
        assertQuiet();
    }

    @Test
    void aDiveThatArrivesLiveChangesThePageWithoutReload() throws Exception {
        List<byte[]> dive = MadeMessages.dive(7, 3, 40, 1);
        deliver(dive.subList(1, 6));
        show("#/dive/7/3");
        browser.await("document.querySelectorAll('.messages li').length === 6");
        assertEquals(
                "at least 6",
                browser.text("document.querySelector('dd').textContent").substring(5));
        browser.evaluate("window.neverReloaded = true");
        deliver(dive.subList(0, 1));
        browser.await("document.querySelector('dd').textContent === '6 of 40'");
        deliver(dive.subList(10, 30));
        browser.await("document.querySelector('dd').textContent === '26 of 40'");
        byte[] spoilt = dive.get(35).clone();
        spoilt[20] ^= 1;
        deliver(List.of(spoilt));
        deliver(List.of(MadeMessages.message(7, 3, 12, BlockType.BINS, 11, new byte[30])));
        browser.await("document.querySelectorAll('.messages .rejected').length === 1"
                + " && document.querySelectorAll('.messages .contradictory').length === 1");
        assertEquals(
                25,
                browser.evaluate("document.querySelectorAll('.messages .received').length")
                        .asInt());
        assertEquals(
                13,
                browser.evaluate("document.querySelectorAll('.messages .missing').length")
                        .asInt());
        JsonNode titles = browser.evaluate("[...document.querySelectorAll('.messages li')].map(one => one.title)");
        assertEquals(
                "position 0: received, ledger part 0, " + dive.get(0).length + " bytes",
                titles.get(0).asText());
        assertEquals("position 6: missing", titles.get(6).asText());
        assertEquals(
                "position 35: rejected, damaged, " + spoilt.length + " bytes",
                titles.get(35).asText());
        assertTrue(browser.evaluate("window.neverReloaded === true").asBoolean());
        assertFalse(browser.evaluate("document.getElementById('mark').hidden").asBoolean(), "simulated must be said");
        browser.screenshot(picture("dive-1280"));
        assertReadable();
        phone();
        browser.screenshot(picture("dive-390"));
        assertQuiet();
    }

    @Test
    void twoHundredDivesAreListedAndCanBeWalkedByKeyboard() throws Exception {
        for (int floatNumber = 1; floatNumber <= 50; floatNumber++) {
            for (int dive = 0; dive < 4; dive++) {
                List<byte[]> messages = MadeMessages.dive(floatNumber, dive, 12, 1);
                deliver(dive == 3 && floatNumber % 3 == 0 ? messages.subList(0, 9) : messages);
            }
        }
        show("");
        browser.await("document.querySelectorAll('#floats tbody tr').length === 50");
        JsonNode row = browser.evaluate(
                "[...document.querySelectorAll('#floats tbody tr')[2].cells].map(one => one.innerText)");
        assertEquals("Float 3", row.get(0).asText());
        assertEquals("3", row.get(1).asText());
        assertEquals("9 of 12", row.get(2).asText().strip());
        assertEquals("simulated, unsealed", row.get(5).asText());
        assertEquals(
                50,
                browser.evaluate("document.querySelectorAll('.map circle').length")
                        .asInt());
        assertEquals(
                watch.derived().newestDives().get(4).latitudeDeg(),
                -browser.evaluate("Number(document.querySelectorAll('.map circle')[4].getAttribute('cy'))")
                        .asDouble(),
                1e-9);
        browser.screenshot(picture("fleet-200-1280"));
        assertReadable();
        phone();
        browser.screenshot(picture("fleet-200-390"));
        browser.evaluate("document.querySelector('#floats tbody a').focus()");
        browser.press("Enter", 13);
        browser.await("document.querySelector('h1').textContent === 'Float 1, dive 3'");
        assertEquals("view", browser.text("document.activeElement.id"));
        assertEquals("3, 2, 1, 0", browser.text("document.querySelector('#others p').textContent"));
        assertQuiet();
    }

    @Test
    void whatNeedsAPersonComesFirstWithItsReason() throws Exception {
        byte[] spoilt = MadeMessages.dive(9, 1, 5, 1).get(2);
        spoilt[12] ^= 4;
        deliver(List.of(spoilt, "<img src=x onerror=alert(1)>".getBytes(StandardCharsets.US_ASCII), new byte[3]));
        deliver(List.of(
                MadeMessages.message(4, 1, 1, BlockType.BINS, 0, new byte[20]),
                MadeMessages.message(4, 1, 1, BlockType.BINS, 0, new byte[21])));
        watch.store()
                .append(new Arrival(
                        new byte[] {1, 2, 3, 4},
                        System.currentTimeMillis() - 946_684_800_000L,
                        "folder",
                        "<img src=x onerror=alert(2)>.msg"))
                .get();
        show("");
        browser.await("document.querySelectorAll('.attention li').length === 4"
                + " && document.querySelector('.attention').innerText.includes('2 rejected')");
        String first = browser.text("document.querySelector('.attention').innerText");
        assertTrue(first.contains("1 rejected in the last day: damaged"), first);
        assertTrue(first.contains("2 rejected in the last day: too short"), first);
        assertTrue(first.contains("Float 4, dive 1: valid messages contradict each other"), first);
        browser.screenshot(picture("attention"));
        show("#/health");
        browser.await("document.querySelectorAll('#rejected tbody tr').length === 4");
        assertEquals(
                0,
                browser.evaluate("document.querySelectorAll('#view img').length")
                        .asInt());
        assertTrue(browser.text("document.querySelector('#rejected').innerText")
                .contains("<img src=x onerror=alert(2)>.msg"));
        browser.screenshot(picture("health-1280"));
        assertReadable();
        phone();
        browser.screenshot(picture("health-390"));
        assertQuiet();
    }

    @Test
    void profileAndRadianceOnThePageAreTheProducts() throws Exception {
        List<byte[]> sent = FlownDive.sent();
        List<Message> messages = new ArrayList<>();
        for (byte[] bytes : sent) {
            messages.add(((Verdict.Accepted) MessageReader.read(bytes, KeyRing.none())).message());
        }
        long data =
                messages.stream().filter(message -> message.kind() == Kind.DIVE).count();
        String dive = messages.get(0).floatNumber() + "/" + messages.get(0).dive();
        deliver(sent.subList(0, sent.size() / 2));
        show("#/dive/" + dive);
        browser.await("document.querySelector('#f-lw .plot')?.plotData !== undefined");
        int early = browser.evaluate("document.querySelectorAll('#reasons li').length")
                .asInt();
        assertTrue(early > 0);
        assertTrue(browser.text("document.getElementById('reasons').innerText").contains("messages missing"));
        deliver(sent.subList(sent.size() / 2, sent.size()));
        browser.await("document.querySelector('dd').textContent === '" + data + " of " + data + "'"
                + " && !document.getElementById('reasons').innerText.includes('messages missing')");
        DiveProduct product = Decoding.products(messages, FlownDive.inputs()).get(0);
        JsonNode drawn = browser.evaluate("document.querySelector('#f-lw .plot').plotData");
        for (int k = 0; k < product.surface().wavelengthNm().size(); k++) {
            assertEquals(
                    product.surface().wavelengthNm().at(k), drawn.get(0).get(k).asDouble(), 1e-3);
            assertEquals((float) product.surface().lwHigh(k), (float)
                    drawn.get(1).get(k).asDouble());
            assertEquals((float) product.surface().lwLow(k), (float)
                    drawn.get(2).get(k).asDouble());
            assertEquals((float) product.surface().lw().at(k), (float)
                    drawn.get(3).get(k).asDouble());
        }
        for (String head : List.of("A", "B")) {
            assertTrue(browser.evaluate("document.querySelector('#f-picture-" + head
                            + " canvas').getContext('2d').getImageData(0, 0, 560, 420).data.some(v => v > 0 && v < 90)")
                    .asBoolean());
        }
        assertEquals(
                product.reasons(),
                new ObjectMapper()
                        .convertValue(
                                browser.evaluate(
                                        "[...document.querySelectorAll('#reasons li')].map(one => one.textContent)"),
                                new TypeReference<List<String>>() {}));
        browser.evaluate("document.querySelector('#f-picture-A canvas').focus()");
        browser.press("ArrowDown", 40);
        assertTrue(browser.text("document.querySelector('#f-picture-A .readout').textContent")
                .contains(" m: brightest "));
        assertBudget(product);
        assertWater(product);
        assertSeenFromAbove(product);
        browser.screenshot(picture("product-1280"));
        assertReadable();
        Path file = folder.resolve("profile.nc");
        ProductFiles.writeProfile(product, file);
        String digest = browser.evaluate(
                        "fetch('dives/" + dive + "/profile.nc').then(answer => answer.arrayBuffer())"
                                + ".then(bytes => crypto.subtle.digest('SHA-256', bytes))"
                                + ".then(digest => [...new Uint8Array(digest)].map(b => b.toString(16).padStart(2, '0')).join(''))")
                .asText();
        assertEquals(HexFormat.of().formatHex(MessageStore.digest(Files.readAllBytes(file))), digest);
        show("#/compare/" + dive.replace("/", "-"));
        browser.await("document.querySelector('#c-lw .plot')?.plotData !== undefined");
        assertEquals((float) product.surface().lw().at(9), (float)
                browser.evaluate("document.querySelector('#c-lw .plot').plotData[3][9]")
                        .asDouble());
        assertEquals(
                (float) (product.surface().attenuation().at(9)
                        + 1.96 * product.surface().attenuationUncertainty().at(9)),
                (float) browser.evaluate("document.querySelector('#c-k_lu_per_m .plot').plotData[1][9]")
                        .asDouble());
        String side = browser.text("document.querySelector('#side').innerText");
        assertTrue(side.contains("Float 1, dive 1") && side.contains(" ± ") && side.contains("2026-12-15"), side);
        browser.screenshot(picture("compare-1280"));
        assertReadable();
        phone();
        browser.screenshot(picture("compare-390"));
        show("#/dive/" + dive);
        browser.await("document.querySelector('#f-lw .plot')?.plotData !== undefined");
        phone();
        browser.screenshot(picture("product-390"));
        browser.size(800, 1100);
        browser.printed(true);
        Thread.sleep(300);
        browser.screenshot(picture("product-print"));
        assertEquals("none", browser.text("getComputedStyle(document.querySelector('nav')).display"));
        JsonNode wide = browser.evaluate(
                "[...document.querySelectorAll('#view *')].filter(one => one.getBoundingClientRect()"
                        + ".right > 801 && !one.closest('details')).map(one => one.tagName + ' ' + one.className).slice(0, 5)");
        assertEquals("[]", wide.toString(), "fits a sheet");
        browser.printed(false);
        assertQuiet();
    }

    @Test
    void namesFromAPlanAreTextNotMarkup() throws Exception {
        String hostile = "<img src=x onerror=alert(3)>";
        PlanFile.Builder file = FlownDive.file().toBuilder();
        file.getPlanBuilder().getHeadsBuilder(0).setName(hostile);
        List<byte[]> sent = FlownDive.sent();
        PrintStream log = new PrintStream(OutputStream.nullOutputStream(), false, StandardCharsets.UTF_8);
        try (ShoreWatch other = ShoreWatch.start(
                WatchSettings.loopback(folder.resolve("other"), 0, 0)
                        .withInputs(new ShoreInputs(
                                file.getPlan(),
                                file.getCalibration(),
                                FlownDive.inputs().ancillary())),
                Clock.systemUTC(),
                log)) {
            for (byte[] bytes : sent) {
                other.store()
                        .append(new Arrival(bytes, System.currentTimeMillis() - 946_684_800_000L, "test", ""))
                        .get();
            }
            browser.open("http://127.0.0.1:" + other.pagePort() + "/#/dive/1/1");
            browser.await("document.querySelectorAll('#profile canvas').length > 1");
            assertTrue(
                    browser.text("document.getElementById('profile').innerText").contains(hostile));
            assertEquals(
                    0,
                    browser.evaluate("document.querySelectorAll('#view img').length")
                            .asInt());
            assertEquals(List.of(), browser.problems());
        }
    }

    /** Every source of the budget with its share, beside the product's own. */
    private void assertBudget(DiveProduct product) throws Exception {
        UncertaintyBudget budget = product.surface().budget();
        int k = 0;
        for (int i = 0; i < product.surface().wavelengthNm().size(); i++) {
            double nm = product.surface().wavelengthNm().at(i);
            k = Math.abs(nm - 490) < Math.abs(product.surface().wavelengthNm().at(k) - 490) ? i : k;
        }
        String column = String.format(
                Locale.ROOT, "%.1f nm", product.surface().wavelengthNm().at(k));
        JsonNode rows = browser.evaluate("(() => { const table = document.querySelector('#uncertainty table');"
                + " const at = [...table.querySelectorAll('thead th')].findIndex(one => one.innerText === '" + column
                + "'); return [...table.querySelectorAll('tbody tr')].map(row => [row.cells[0].innerText,"
                + " row.cells[at].innerText]); })()");
        int seen = 0;
        double squares = 0;
        for (Contribution source : budget.contributions()) {
            for (JsonNode row : rows) {
                if (row.get(0).asText().equals(source.name())) {
                    double percent = 100 * Math.abs(source.factor().at(k));
                    String shown = row.get(1).asText();
                    if (!shown.startsWith("<")) {
                        assertEquals(percent, Double.parseDouble(shown), 0.0051, source.name());
                    }
                    squares += percent * percent;
                    seen++;
                }
            }
        }
        assertTrue(seen >= 8, rows.toString());
        double combined = Double.parseDouble(rows.get(rows.size() - 2).get(1).asText());
        assertEquals(Math.sqrt(squares), combined, 0.006, "the sources make up the whole");
        assertEquals(100 * product.surface().lwRelative().at(k), combined, 0.0051);
        assertEquals((float) (100 * budget.relative(5, Correlation.DEPLOYMENT)), (float)
                browser.evaluate("document.querySelector('#f-u .plot').plotData[4][5]")
                        .asDouble());
    }

    private void assertWater(DiveProduct product) throws Exception {
        JsonNode shown = browser.evaluate("document.querySelector('#f-chlorophyll .plot').plotData");
        assertTrue(product.cast().size() > 10);
        for (int i = 0; i < product.cast().size(); i++) {
            assertEquals(
                    product.cast().get(i).chlorophyllMgPerM3(),
                    shown.get(1).get(i).asDouble(),
                    1e-4);
            assertEquals(
                    product.cast().get(i).pressureDbar(), shown.get(0).get(i).asDouble(), 1e-3);
        }
    }

    /** Sun, arms and heading from north against the library's sun and the plan's arms; the layer's own heading beside it. */
    private void assertSeenFromAbove(DiveProduct product) throws Exception {
        browser.evaluate("(() => { const slider = document.querySelector('#f-above input'); slider.value = 5;"
                + " slider.dispatchEvent(new Event('input')); })()");
        String said = browser.text("document.querySelector('#f-above svg').getAttribute('aria-label')");
        ProfileBin bin = product.profile().bins().stream()
                .filter(one -> one.head() == 0 && !one.shaded() && one.pass() == 0)
                .sorted(Comparator.comparingInt(ProfileBin::bin))
                .toList()
                .get(5);
        Instant when = Instant.ofEpochSecond(bin.timeS() + 946_684_800L);
        double sun = SPA.calculateSolarPosition(
                        when.atZone(ZoneOffset.UTC),
                        product.place().latitudeDeg(),
                        product.place().longitudeDeg(),
                        0,
                        69)
                .azimuth();
        assertTrue(said.contains("sun at " + Math.round(sun) + "°"), said + " sun " + sun);
        long arm = Math.round((sun + 540 + bin.antisunDeg()) % 360);
        assertTrue(said.contains("head A at " + arm + "°"), said + " arm " + arm);
        // Head A's arm points along the hull's x axis in the reference float.
        assertTrue(said.contains("heading " + arm + "°"), said);
        // The wire rounds each head's direction, and the bins of the two are of slightly other scans.
        double other = Double.parseDouble(said.replaceAll("(?s).*head B at ([0-9]+)°.*", "$1"));
        assertEquals(0, Math.IEEEremainder(other - arm - 180, 360), 5, said);
        assertTrue(browser.text("document.querySelector('#attitude table').innerText")
                .contains("the deepest"));
    }
}
