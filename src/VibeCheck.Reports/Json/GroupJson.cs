using System.Text.Json;
using VibeCheck.Core.Orders.Group;

namespace VibeCheck.Reports.Json;

/// <summary>The rotors as one, under <c>group</c>.</summary>
internal static class GroupJson
{
    /// <summary>Null where the motors' own speeds are logged.</summary>
    internal static void Write(Utf8JsonWriter json, GroupResult? group)
    {
        if (group is null)
        {
            json.WriteNull("group");
            return;
        }

        json.Object(
            "group",
            () =>
            {
                json.Amount("rpm", "rpm_ci95", group.Rpm);
                json.Amount("rms_mps2", "ci95", group.TotalMps2);
                json.Array(
                    "orders",
                    group.Orders,
                    order =>
                        json.Object(() =>
                        {
                            json.WriteNumber("order", order.Order);
                            json.Amount("rms_mps2", "ci95", order.RmsMps2);
                            json.Why(order.RmsMps2.Why);
                        })
                );
                json.Why(group.TotalMps2.Why ?? group.Rpm.Why);
            }
        );
    }
}
