using System.Security.Authentication;
using MQTTnet;

namespace Evenwater.Followers;

/// <summary>Whether a broker lets the daemon in: one connection with its user and password, over the same TLS, that tells nothing and leaves.</summary>
internal static class MqttKnock
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(5);

    /// <summary>Why it does not; null when it does.</summary>
    public static async Task<string?> FaultAsync(MqttOptions options)
    {
        try
        {
            using var patience = new CancellationTokenSource(Patience);
            using var client = new MqttClientFactory().CreateMqttClient();
            var result = await client.ConnectAsync(options.BuildListener($"evenwater-check-{Guid.NewGuid():N}"), patience.Token).WaitAsync(patience.Token);
            if (result.ResultCode != MqttClientConnectResultCode.Success)
            {
                return $"it refuses us: {result.ResultCode} {result.ReasonString}".TrimEnd();
            }

            await client.DisconnectAsync(new MqttClientDisconnectOptions(), patience.Token);
            return null;
        }
        catch (OperationCanceledException)
        {
            return $"it does not answer as a broker of MQTT 5 within {Patience.TotalSeconds:0} s: is TLS on at one side alone?";
        }
        catch (Exception e) when (e.GetBaseException() is AuthenticationException refused)
        {
            return $"its certificate is refused: it must name {options.Host} and come from the CA of mqtt.caFile ({refused.Message})";
        }
        catch (Exception e)
        {
            return e.GetBaseException().Message;
        }
    }
}
