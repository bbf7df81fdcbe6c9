using System.Text.Json;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Json;

/// <summary>All vibration in parts, under <c>accounting</c>.</summary>
internal static class AccountJson
{
    /// <summary>Null where the hover holds no window.</summary>
    internal static void Write(Utf8JsonWriter json, VibrationAccount? account, IReadOnlyList<MotorAnalysis> motors)
    {
        if (account is null)
        {
            json.WriteNull("accounting");
            return;
        }

        json.Object(
            "accounting",
            () =>
            {
                json.Amount("total_mps2", "ci95", account.TotalMps2);
                json.Range("band_hz", account.BandHz);
                json.Array(
                    "parts",
                    account.Parts,
                    part =>
                        json.Object(() =>
                        {
                            json.WriteString("part", part.Kind.Code());
                            json.Amount("mps2", "ci95", part.Mps2);
                            json.Number("share", part.Share);
                            json.Why(part.Mps2.Why);
                            if (part.Kind == VibrationPartKind.RotorOrders)
                            {
                                json.Array(
                                    "motors",
                                    RotorPartByMotor.Of(account, motors),
                                    own =>
                                        json.Object(() =>
                                        {
                                            json.WriteString("motor", own.MotorId);
                                            json.Amount("mps2", "ci95", own.Mps2);
                                            json.Number("share_of_part", own.Share);
                                        })
                                );
                            }
                        })
                );
                json.Array("half_orders", account.HalfOrders, line => Line(json, line));
                json.Array("rotor_locked", account.LockedLines, line => Line(json, line));
                json.Array(
                    "steady_lines",
                    account.SteadyLines,
                    line =>
                        json.Object(() =>
                        {
                            json.Number("hz", line.Hz);
                            json.Amount("mps2", "ci95", line.Mps2);
                            json.WriteBoolean("told", line.IsTold);
                            json.Why(line.Mps2.Why);
                        })
                );
                json.Object(
                    "knocks",
                    () =>
                    {
                        json.WriteNumber("count", account.Knocks.Count);
                        json.Number("first_s", account.Knocks.FirstS);
                        json.Number("peak_mps2", account.Knocks.PeakMps2);
                        json.Why(account.Knocks.FirstS is null ? "no short event was found" : null);
                    }
                );
                json.Why(account.TotalMps2.Why);
            }
        );
    }

    /// <summary>Changes of the parts of a comparison, under <c>parts</c>.</summary>
    internal static void Write(Utf8JsonWriter json, IReadOnlyList<PartChange> parts) =>
        json.Array(
            "parts",
            parts,
            part =>
                json.Object(() =>
                {
                    json.WriteString("part", part.Kind.Code());
                    json.Amount("before_mps2", "before_ci95", part.BeforeMps2);
                    json.Amount("after_mps2", "after_ci95", part.AfterMps2);
                    json.Amount("change_db", "ci95_db", part.ChangeDb);
                    json.WriteString("call", part.Call.Code());
                    json.Why(("before_mps2", part.BeforeMps2), ("after_mps2", part.AfterMps2), ("change_db", part.ChangeDb));
                })
        );

    private static void Line(Utf8JsonWriter json, LockedLine line) =>
        json.Object(() =>
        {
            json.WriteString("motor", line.MotorId);
            json.Number("multiple", line.Multiple);
            json.Amount("mps2", "ci95", line.Mps2);
            json.Number("prominence", line.Prominence);
            json.Why(line.Mps2.Why);
        });
}
