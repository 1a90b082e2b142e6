package sunward.profiles;

import java.util.ArrayList;
import java.util.List;
import sunward.protocol.schema.BinZone;
import sunward.protocol.schema.Bins;

/** The plan's pressure bins, numbered from the surface down. */
final class BinLayout {
    private final List<double[]> edges = new ArrayList<>();

    BinLayout(Bins bins) {
        double top = 0;
        for (BinZone zone : bins.getZonesList()) {
            int count = (int) Math.round((zone.getToDbar() - top) / zone.getWidthDbar());
            for (int i = 0; i < count; i++) {
                edges.add(new double[] {top + i * zone.getWidthDbar(), top + (i + 1) * zone.getWidthDbar()});
            }
            top = zone.getToDbar();
        }
    }

    int count() {
        return edges.size();
    }

    double fromDbar(int bin) {
        return edges.get(bin)[0];
    }

    double toDbar(int bin) {
        return edges.get(bin)[1];
    }

    double centreDbar(int bin) {
        return (fromDbar(bin) + toDbar(bin)) / 2;
    }
}
