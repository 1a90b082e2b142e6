package sunward.watch.page;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.vertx.core.Context;
import io.vertx.core.Vertx;
import io.vertx.ext.web.RoutingContext;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Base64;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import sunward.watch.intake.Intake;
import sunward.watch.store.Receipt;

/**
 * {@code POST /deliveries}: one message as raw bytes ({@code application/octet-stream}), or {@code {"messages": ["base64", ...]}}
 * ({@code application/json}). The answer comes when all of them are on disk.
 */
final class HttpDeliveries {
    /** Most messages of one request. */
    static final int BATCH = 1000;

    /** Longest request, bytes. */
    static final long BODY_BYTES = 4L << 20;

    private static final ObjectMapper JSON = new ObjectMapper();

    private final Intake intake;

    HttpDeliveries(Intake intake) {
        this.intake = intake;
    }

    // The last future of the chain sends the answer and has no failure of its own: receipts never fail.
    @SuppressWarnings("FutureReturnValueIgnored")
    void accept(RoutingContext request) {
        if (intake.crowded()) {
            request.response().putHeader("Retry-After", "1");
            Answers.fail(request, 503, "More messages wait than the watch can hold; send again in a moment.");
            return;
        }
        List<byte[]> messages = messages(request);
        if (messages == null) {
            return;
        }
        String sender = request.request().remoteAddress().hostAddress();
        Context loop = Vertx.currentContext();
        List<CompletableFuture<Receipt>> receipts = new ArrayList<>(messages.size());
        for (byte[] message : messages) {
            receipts.add(intake.accept(message, Intake.Door.HTTP, sender));
        }
        CompletableFuture.allOf(receipts.toArray(new CompletableFuture<?>[0]))
                .thenRun(() -> loop.runOnContext(none -> answer(request, receipts)));
    }

    /** The messages of the request; null when it was answered as bad. */
    private static List<byte[]> messages(RoutingContext request) {
        String type = request.request().getHeader("Content-Type");
        String plain = type == null ? "" : type.split(";", 2)[0].strip().toLowerCase(Locale.ROOT);
        byte[] body = request.body().buffer() == null
                ? new byte[0]
                : request.body().buffer().getBytes();
        if (plain.equals("application/octet-stream")) {
            return List.of(body);
        }
        if (!plain.equals("application/json")) {
            Answers.fail(
                    request,
                    415,
                    "The Content-Type must be application/octet-stream for one message or application/json for a batch.");
            return null;
        }
        try {
            JsonNode list = JSON.readTree(body).path("messages");
            if (!list.isArray() || list.isEmpty() || list.size() > BATCH) {
                Answers.fail(request, 400, "\"messages\" must be a list of 1 to " + BATCH + " messages in base64.");
                return null;
            }
            List<byte[]> messages = new ArrayList<>();
            for (JsonNode one : list) {
                if (!one.isTextual()) {
                    Answers.fail(request, 400, "Message " + (messages.size() + 1) + " is not a text in base64.");
                    return null;
                }
                messages.add(Base64.getDecoder().decode(one.textValue()));
            }
            return messages;
        } catch (IOException | IllegalArgumentException e) {
            Answers.fail(request, 400, "The request is not {\"messages\": [\"base64\", ...]}.");
            return null;
        }
    }

    private static void answer(RoutingContext request, List<CompletableFuture<Receipt>> receipts) {
        int stored = 0;
        int repeated = 0;
        List<Map<String, Object>> refused = new ArrayList<>();
        for (int i = 0; i < receipts.size(); i++) {
            Receipt receipt = receipts.get(i).join();
            stored += receipt.outcome() == Receipt.Outcome.STORED ? 1 : 0;
            repeated += receipt.outcome() == Receipt.Outcome.REPEATED ? 1 : 0;
            if (!receipt.kept()) {
                refused.add(Map.of("message", i + 1, "sentence", receipt.sentence()));
            }
        }
        Map<String, Object> answer = new LinkedHashMap<>();
        answer.put("stored", stored);
        answer.put("repeated", repeated);
        answer.put("refused", refused);
        Answers.json(request, refused.isEmpty() ? 200 : 503, answer);
    }
}
